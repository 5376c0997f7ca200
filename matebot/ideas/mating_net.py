"""Mating net.

Definition. A move of the attacker, no mate, after which he mates with the next move or the next but one. Of the
defender's replies the one that lasts longest is looked at (of several the first by `longest` after which the net hangs
on squares, else the first), then the move that is taught, and so on to the mate, which must come in time.

The net hangs on squares beside the mated king, or on the square from which a man beside it mates: those that the man
that moved guards at the end, and that nobody would guard if it stood where it came from. It guards none where it moved
again, or where its old square is not empty then.

The move taught comes *whatever* the defender does where his king can move nowhere, he has two replies or more, and
after each of them it is legal and mates in time, none of them taking a man.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.longest import all_longest, longest
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import after_move, in_order, is_king_step, lines_holding, men_of, opposition, shut_mask
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_SOON, _MANY, _PAIR = (2, 4), 3, 2


@dataclass(frozen=True)
class MatingNet(Idea):
    """Mate follows with the next move or the next but one.

    Attributes
    ----------
    reply, move : the reply that lasts longest and what comes after it
    at_once : whether that is the mate
    forced : whether it is the only reply
    by_king : whether the reply is a king's step
    man : kind of the man that mates at the end
    square : the square from which it mates
    guarded : squares that the man that moved guards for the mate
    along : where these are three or more and on one line of the man, that line, such as "rank 5"; empty without
    opposed : whether the mate comes at once and the reply brings the kings into the direct opposition
    whatever : whether the move comes after every reply
    """

    kind: ClassVar[str] = "mating_net"
    reply: chess.Move
    move: chess.Move
    at_once: bool
    forced: bool
    by_king: bool
    man: chess.PieceType
    square: chess.Square
    guarded: Squares
    along: tuple[str, ...]
    opposed: bool
    whatever: bool


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> MatingNet | None:
    """Return the net in which a move of the attacker catches the other king, None without one."""
    if before.turn != attacker or truth.outcome(after) >= 0 or truth.mate_plies(after) not in _SOON:
        return None
    lines = [_line(after, reply, truth) for reply in all_longest(after, truth)]
    mated = [(line, last) for line, last in lines if last.is_check() and not any(last.generate_legal_moves())]
    if not mated or mated[0] != lines[0]:
        return None
    line, last, guarded = next(
        ((line, last, found) for line, last in mated if (found := _needed(line, last, move, attacker))),
        (*mated[0], ()),
    )
    reply, answer, mate = line[0], line[1], line[-1]
    there = after_move(after, reply)
    return MatingNet(
        reply,
        answer,
        answer is mate,
        after.legal_moves.count() == 1,
        bool(after.kings & chess.BB_SQUARES[reply.from_square]),
        last.piece_type_at(mate.to_square) or chess.PAWN,
        mate.to_square,
        guarded,
        _along(guarded, move.to_square, last),
        answer is mate and opposition(men_of(there)) == "direct" != opposition(men_of(after)),
        _whatever(after, answer, 0 if answer is mate else 2, truth),
    )


def _whatever(after: chess.Board, answer: chess.Move, plies: int, truth: Truth) -> bool:
    """Whether an answer comes after every reply, none of the king's and none that takes, and mates so soon."""
    replies = list(after.generate_legal_moves())
    if len(replies) < _PAIR or any(is_king_step(after, reply) or after.is_capture(reply) for reply in replies):
        return False
    boards = [after_move(after, reply) for reply in replies]
    return all(board.is_legal(answer) and _mates(after_move(board, answer), plies, truth) for board in boards)


def _mates(board: chess.Board, plies: int, truth: Truth) -> bool:
    """Whether a side to move is mated in so many plies, or is."""
    if not plies:
        return board.is_check() and not any(board.generate_legal_moves())
    most = truth.mate_plies(board)
    return truth.outcome(board) < 0 and most is not None and most <= plies


def _line(after: chess.Board, first: chess.Move, truth: Truth) -> tuple[list[chess.Move], chess.Board]:
    """Return a reply and the longest defence after it, with the moves taught, as far as mate must come; the board."""
    line, board = list[chess.Move](), quick(after)
    reply: chess.Move | None = first
    for _ in range(max(_SOON) // 2):
        if reply is None:
            break
        board.push(reply)
        answer = truth.answer(board)
        if answer is None:
            break
        board.push(answer)
        line += [reply, answer]
        reply = longest(board, truth)
    return line, board


def _needed(line: list[chess.Move], last: chess.Board, move: chess.Move, attacker: chess.Color) -> Squares:
    """Return the squares that the mate at the end of a line needs the man that moved for; none where it moved again."""
    return () if any(played.from_square == move.to_square for played in line[1::2]) else _guarded(last, move, attacker)


def _guarded(last: chess.Board, move: chess.Move, attacker: chess.Color) -> Squares:
    """Return the squares that a mate needs the man that moved for."""
    kind = last.piece_type_at(move.to_square)
    if kind is None or last.color_at(move.to_square) != attacker or last.piece_type_at(move.from_square) is not None:
        return ()
    back = quick(last)
    back.remove_piece_at(move.to_square)
    back.set_piece_at(move.from_square, chess.Piece(kind, attacker))
    near = chess.BB_KING_ATTACKS[men_of(last).king(not attacker)] & ~last.occupied_co[not attacker]
    return in_order(near & shut_mask(men_of(last), attacker) & ~shut_mask(men_of(back), attacker))


def _along(guarded: Squares, man: chess.Square, last: chess.Board) -> tuple[str, ...]:
    """Return the one line of a queen, rook or bishop on which squares lie, none where they are few."""
    slides = chess.BB_SQUARES[man] & (last.queens | last.rooks | last.bishops)
    lines = lines_holding(sum(chess.BB_SQUARES[s] for s in guarded), man) if slides and len(guarded) >= _MANY else ()
    return lines if len(lines) == 1 else ()
