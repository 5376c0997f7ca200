"""A threat.

Definition. After a move that gives no check, what its side could do if it were on move again, and could not before,
with a man that no legal reply takes: the first of *mate*, *promotion* (a queen that no legal move takes), *capture* (of
a man that no legal move recaptures, and that before none could take without being recaptured); of several moves the
first by its name in long algebraic form.
"""

from __future__ import annotations

from enum import Enum
from functools import reduce
from operator import or_
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import to_move
from matebot.ideas.squares import after_move, gives_check, taken_for_nothing
from matebot.records import dataclass


class Threat(Enum):
    """What is threatened."""

    MATE = "mate"
    PROMOTION = "promotion"
    CAPTURE = "capture"


_ORDER = tuple(Threat)


@dataclass(frozen=True)
class Threatens(Idea):
    """A move that threatens another.

    Attributes
    ----------
    threat, move : what is threatened, and by which move
    sure : whether a pawn promotes whatever the other side does: after each of its moves it may become a queen that
        cannot be taken, or the man that made the move may be taken; after a check there is an answer after each reply
        to which, none a check, the same holds
    square, man : where it comes to, and the kind of the man captured, or made
    again : whether the man that moved attacks a man that another attacked before it and still does
    """

    kind: ClassVar[str] = "threatens"
    threat: Threat
    move: chess.Move
    square: chess.Square
    man: chess.PieceType
    sure: bool = False
    again: bool = False


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Threatens | None:
    """Return what a move threatens, None where nothing."""
    replies = list(after.generate_legal_moves())
    if not replies or after.is_check():
        return None
    again = to_move(after, before.turn)
    # A man that is taken threatens nothing, nor does a move that neither takes, promotes nor gives check: most.
    free = again.occupied_co[before.turn] & ~reduce(or_, (chess.BB_SQUARES[reply.to_square] for reply in replies))
    perhaps = [
        (other, gives)
        for other in again.generate_legal_moves(free)
        if (gives := gives_check(again, other)) or _takes_or_queens(again, other)
    ]
    threats: list[tuple[Threat, chess.Move]] = []
    for other, gives in sorted(perhaps, key=lambda item: item[0].uci()):
        threat = _threat(before, again, other, gives)
        # That a man is taken which was guarded before is new even where it could be taken.
        new = threat is Threat.CAPTURE or not before.is_legal(other)
        threats += [(threat, other)] if threat is not None and new else []
    if not threats:
        return None
    threat, other = min(threats, key=lambda item: _ORDER.index(item[0]))
    made = chess.QUEEN if threat is Threat.PROMOTION else None
    man = made or again.piece_type_at(other.to_square if threat is Threat.CAPTURE else other.from_square) or chess.PAWN
    sure = threat is Threat.PROMOTION and _sure(after, other)
    return Threatens(threat, other, other.to_square, man, sure, _again(before, move, after, other.to_square))


def _again(before: chess.Board, move: chess.Move, after: chess.Board, square: chess.Square) -> bool:
    """Whether the man that moved attacks the man on a square, which another attacked before it and still does."""
    was, now = (board.attackers_mask(before.turn, square) for board in (before, after))
    came, went = chess.BB_SQUARES[move.to_square], chess.BB_SQUARES[move.from_square]
    return bool(after.occupied & chess.BB_SQUARES[square] and now & came and not was & went and was & now)


def _sure(after: chess.Board, promotion: chess.Move) -> bool:
    """Whether no reply stops a promotion but one that gives a man."""
    return all(_promotes(after_move(after, reply), reply, promotion) for reply in after.generate_legal_moves())


def _promotes(board: chess.Board, reply: chess.Move, promotion: chess.Move) -> bool:
    """Whether a reply loses its man, or the pawn promotes after it; a check is answered first."""
    moves = list(board.generate_legal_moves())
    if any(answer.to_square == reply.to_square for answer in moves):
        return True
    if promotion in moves:
        last = after_move(board, promotion)
        return not any(last.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[promotion.to_square]))
    return board.is_check() and any(_goes_on(after_move(board, answer), promotion) for answer in moves)


def _goes_on(board: chess.Board, promotion: chess.Move) -> bool:
    """Whether the pawn promotes, or the man is lost, whatever the other side does next, a check left out."""
    boards = ((reply, after_move(board, reply)) for reply in board.generate_legal_moves())
    return all(not there.is_check() and _promotes(there, reply, promotion) for reply, there in boards)


def _takes_or_queens(board: chess.Board, move: chess.Move) -> bool:
    return move.promotion == chess.QUEEN or bool(board.occupied & chess.BB_SQUARES[move.to_square])


def _threat(before: chess.Board, again: chess.Board, other: chess.Move, gives: bool) -> Threat | None:
    """Return what a move would do if its side were on move again, None where that is no threat."""
    then, goal = after_move(again, other), chess.BB_SQUARES[other.to_square]
    if gives and not any(then.generate_legal_moves()):
        return Threat.MATE
    if any(then.generate_legal_moves(chess.BB_ALL, goal)):
        return None
    if other.promotion == chess.QUEEN:
        return Threat.PROMOTION
    return Threat.CAPTURE if again.occupied & goal and not taken_for_nothing(before, other.to_square) else None
