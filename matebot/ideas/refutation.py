"""Refutation of a slip.

Definition. A move is a slip when its side's outcome falls; or, by the attacker, when it still wins but mate comes at
least two of his moves later than before, or a cage is opened. The refutation is the reply that shows why. After a
fallen outcome it is one of the replies that keep the new outcome; otherwise one of those that last longest. Of them the
first by this list, then the one by which mate comes soonest, then a step of the defending king that leads somewhere by
the ways of `shuts_way`, in their order (told beside it), then the promotion to the strongest man, then the first by its
squares' names:

- *stalemate*: there is no reply, the slip stalemates (no reply is named);
- *mate*: the reply mates;
- *capture*: it captures a man, not a pawn's step by en passant;
- *promotion*: it promotes;
- *fork*: the man that moved attacks at least two men of the other side, each its king, or unguarded, or stronger, and
  whatever the answer one of them, gone on or not, may then be taken, by a weaker man or without being retaken; one that
  took the man that forks must be stronger than it, and no other falls then;
- *skewer*: the man that moved attacks along a line a king or stronger man behind which, on the same line, another man
  of the same side stands that is unguarded or stronger, and whatever the answer one of the two falls as to a fork;
- *pin*: the man that moved, guarded, holds a stronger man of the other side fast before its king, or, attacked by
  nobody, a pawn that could promote with its next step;
- *attack*: a step of the defending king next to a man of the attacker that nobody guards;
- *run*: a step of the defending king to a hole that is open after the slip, else to a square outside its range before
  the slip, else next to such holes;
- *none* of these.

Stronger: queen over rook over bishop and knight over pawn; bishop and knight are equal.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.holes import holes_mask
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.quick_board import quick
from matebot.ideas.shuts_way import Aim, ways
from matebot.ideas.squares import after_move, in_order, is_king_step, men_of, range_mask, takeable
from matebot.ideas.truth import Truth
from matebot.records import dataclass

#: Men by strength, bishop and knight alike; the king counts for nothing.
STRENGTH = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9, chess.KING: 0}
_SLOWER_MOVES = 2


class Means(Enum):
    """How a slip is punished."""

    STALEMATE = "stalemate"
    MATE = "mate"
    CAPTURE = "capture"
    PROMOTION = "promotion"
    FORK = "fork"
    SKEWER = "skewer"
    PIN = "pin"
    ATTACK = "attack"
    RUN = "run"
    NONE = "none"


@dataclass(frozen=True)
class Refutation(Idea):
    """The reply that shows why a move is a slip.

    Attributes
    ----------
    means : how
    reply : the reply, None after stalemate
    men, squares : kinds and squares of the men captured, forked, skewered, pinned or attacked, in the order of the
        squares; of a man promoted the new kind and its square; of a run the square, or the holes next to it
    outcome_falls : whether the outcome is lost; otherwise only time or the cage
    leads, target : where a step of the defending king leads, and the man or corner it is about; None without
    """

    kind: ClassVar[str] = "refutation"
    means: Means
    reply: chess.Move | None
    men: tuple[chess.PieceType, ...]
    squares: Squares
    outcome_falls: bool
    leads: Aim | None = None
    target: chess.Square | None = None


Shown = tuple[Means, tuple[chess.PieceType, ...], Squares]


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Refutation | None:
    """Return the refutation of a move that is a slip, None for another move."""
    had, has = truth.outcome(before), -truth.outcome(after)
    falls = has < had
    if not falls and not _is_slower(before, after, attacker, truth, has):
        return None
    replies = truth.after(after)
    if not replies:
        return Refutation(Means.STALEMATE, None, (), (), True) if falls else None
    found = [(reply, plies or 0) for reply, (outcome, plies) in replies.items() if outcome == has]
    if not falls:
        longest = max(plies for _, plies in found)
        found = [(reply, plies) for reply, plies in found if plies == longest]
    shown = [
        (means_of(before, after, reply, attacker), plies, leads(after, reply, attacker), reply)
        for reply, plies in found
    ]
    (means, men, squares), _, (aim, target), reply = min(shown, key=_order)
    return Refutation(means, reply, men, squares, falls, aim, target)


def _order(
    item: tuple[Shown, int, tuple[Aim | None, chess.Square | None], chess.Move],
) -> tuple[int, int, int, int, str]:
    (means, _, _), plies, (aim, _), reply = item
    return list(Means).index(means), plies, [*Aim, None].index(aim), -(reply.promotion or 0), reply.uci()


def leads(after: chess.Board, reply: chess.Move, attacker: chess.Color) -> tuple[Aim | None, chess.Square | None]:
    """Return where a step of the defending king leads, and the man or corner it is about; None for another move."""
    if after.turn == attacker or not is_king_step(after, reply):
        return None, None
    found = ways(men_of(after), attacker)
    return next(((aim, target) for aim, target, serves in found if serves(reply.to_square)), (None, None))


def _is_slower(before: chess.Board, after: chess.Board, attacker: chess.Color, truth: Truth, has: int) -> bool:
    if before.turn != attacker or has <= 0:
        return False
    was, now = truth.mate_plies(before), truth.mate_plies(after)
    if was is not None and now is not None and (now + 1 - was) // 2 >= _SLOWER_MOVES:
        return True
    return bool(cage_mask(men_of(before), attacker)) and not cage_mask(men_of(after), attacker)


def means_of(before: chess.Board, after: chess.Board, reply: chess.Move, attacker: chess.Color) -> Shown:
    """Return by what means a reply punishes a slip, with the men and squares that show it."""
    board = after_move(after, reply)
    victim = after.piece_type_at(reply.to_square)
    if board.is_check() and not any(board.generate_legal_moves()):
        return Means.MATE, (), ()
    if victim:
        return Means.CAPTURE, (victim,), (reply.to_square,)
    if reply.promotion:
        return Means.PROMOTION, (reply.promotion,), (reply.to_square,)
    blows = ((Means.FORK, _forked), (Means.SKEWER, _skewered), (Means.PIN, _pinned))
    for means, squares in ((means, found(board, reply)) for means, found in blows):
        if squares:
            return means, _kinds(board, squares), squares
    if after.turn != attacker and is_king_step(after, reply):
        loose = tuple(chess.scan_forward(takeable(men_of(board), attacker)))
        if loose:
            return Means.ATTACK, _kinds(board, loose), loose
        way_out = _way_out(before, after, reply.to_square, attacker)
        if way_out:
            return Means.RUN, (), way_out
    return Means.NONE, (), ()


def _way_out(before: chess.Board, after: chess.Board, target: chess.Square, attacker: chess.Color) -> Squares:
    """Return the square of a king's step that leads out, or the holes next to it."""
    open_ways = holes_mask(men_of(after), attacker)
    if open_ways >> target & 1 or not range_mask(men_of(before), attacker) >> target & 1:
        return (target,)
    return in_order(open_ways & chess.BB_KING_ATTACKS[target])


def _kinds(board: chess.Board, squares: Squares) -> tuple[chess.PieceType, ...]:
    return tuple(board.piece_type_at(square) or chess.PAWN for square in squares)


def _forked(board: chess.Board, reply: chess.Move) -> Squares:
    by = board.piece_type_at(reply.to_square) or chess.PAWN
    hit = board.attacks_mask(reply.to_square) & board.occupied_co[board.turn]
    worth = tuple(square for square in chess.scan_forward(hit) if _is_worth(board, square, by))
    return worth if len(worth) > 1 and not _is_met(board, reply, worth) else ()


def _is_met(board: chess.Board, reply: chess.Move, forked: Squares) -> bool:
    """Whether an answer to a fork or skewer leaves none of the men hit to be taken at a gain."""
    return not all(_falls(board, answer, reply.to_square, forked) for answer in board.generate_legal_moves())


def _falls(board: chess.Board, answer: chess.Move, fork: chess.Square, forked: Squares) -> bool:
    """Whether one of the men forked is gained after an answer: by a weaker man, not retaken, or for the man it took."""
    there, least = after_move(board, answer), 0
    men = {answer.to_square if square == answer.from_square else square for square in forked}
    if answer.to_square == fork:
        men, least = men & {fork}, STRENGTH[board.piece_type_at(fork) or chess.PAWN]
    goals = sum(chess.BB_SQUARES[square] for square in men) & there.occupied_co[board.turn] & ~there.kings
    for take in there.generate_legal_captures(to_mask=goals):
        victim, by = (
            STRENGTH[there.piece_type_at(square) or chess.PAWN] for square in (take.to_square, take.from_square)
        )
        again = after_move(there, take).generate_legal_captures(to_mask=chess.BB_SQUARES[take.to_square])
        if victim > least and (victim > by > 0 or not any(again)):
            return True
    return False


def _is_worth(board: chess.Board, square: chess.Square, by: chess.PieceType) -> bool:
    """Whether an attack by a man of a kind on a man of the side to move gains something."""
    kind = board.piece_type_at(square)
    if kind == chess.KING:
        return True
    stronger = kind is not None and STRENGTH[kind] > STRENGTH[by] > 0
    return stronger or not board.is_attacked_by(board.turn, square)


def _skewered(board: chess.Board, reply: chess.Move) -> Squares:
    by = board.piece_type_at(reply.to_square) or chess.PAWN
    if by not in (chess.BISHOP, chess.ROOK, chess.QUEEN):
        return ()
    own = board.occupied_co[board.turn]
    for front in chess.scan_forward(board.attacks_mask(reply.to_square) & own):
        kind = board.piece_type_at(front)
        if kind is None or (kind != chess.KING and STRENGTH[kind] <= STRENGTH[by]):
            continue
        bare = quick(board)
        bare.remove_piece_at(front)
        behind = bare.attacks_mask(reply.to_square) & ~board.attacks_mask(reply.to_square) & own
        for square in chess.scan_forward(behind):
            if _is_gained(board, square, by) and not _is_met(board, reply, (front, square)):
                return tuple(sorted((front, square)))
    return ()


def _pinned(board: chess.Board, reply: chess.Move) -> Squares:
    by, side = board.piece_type_at(reply.to_square) or chess.PAWN, board.turn
    if by not in (chess.BISHOP, chess.ROOK, chess.QUEEN):
        return ()
    guarded, safe = board.is_attacked_by(not side, reply.to_square), not board.is_attacked_by(side, reply.to_square)
    last = board.pawns & (chess.BB_RANK_7 if side == chess.WHITE else chess.BB_RANK_2)
    near = board.attacks_mask(reply.to_square) & board.occupied_co[side] & ~board.kings
    held = (
        square
        for square in chess.scan_forward(near)
        if (safe and last >> square & 1)
        or (guarded and STRENGTH[board.piece_type_at(square) or chess.PAWN] > STRENGTH[by])
    )
    came = chess.BB_SQUARES[reply.to_square]
    return tuple(square for square in held if board.is_pinned(side, square) and board.pin_mask(side, square) & came)


def _is_gained(board: chess.Board, square: chess.Square, by: chess.PieceType) -> bool:
    """Whether the man behind a skewered one is worth taking: stronger than the man that skewers, or unguarded."""
    return board.piece_type_at(square) != chess.KING and _is_worth(board, square, by)
