"""A step of the pawn.

Definition. A move of the attacker's pawn, no capture and no promotion. It is *guarded* by the first man of the attacker
that guards it after the move: the king before the others, these from a1 on. It has an *escort* where one of his men
guards its promotion square: the first from a1 on, the king after the others. Who guards the square *ahead* of it is
told likewise.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class PawnStep(Idea):
    """A pawn that goes on.

    Attributes
    ----------
    square : where it stands now
    guard : kind of the man that guards it there, None without one
    goal, escort : the promotion square, and the kind of the man that guards it, None without one
    ahead : kind of the man that guards the square ahead of it, None without one
    """

    kind: ClassVar[str] = "pawn_step"
    square: chess.Square
    guard: chess.PieceType | None
    goal: chess.Square
    escort: chess.PieceType | None
    ahead: chess.PieceType | None


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> PawnStep | None:
    """Return the step of a pawn of the attacker, None for another move."""
    pawn = before.pawns >> move.from_square & 1
    if before.turn != attacker or not pawn or move.promotion or before.is_capture(move):
        return None
    guards = after.attackers_mask(attacker, move.to_square)
    first = next(chess.scan_forward(guards & after.kings or guards), None)
    goal = chess.square(chess.square_file(move.to_square), 7 if attacker else 0)
    last, ahead = (_over(after, square, attacker) for square in (goal, move.to_square + (8 if attacker else -8)))
    return PawnStep(move.to_square, _kind(after, first), goal, _kind(after, last), _kind(after, ahead))


def _over(board: chess.Board, square: chess.Square, attacker: chess.Color) -> chess.Square | None:
    """Return where the first man of the attacker that guards a square stands, the king after the others."""
    over = board.attackers_mask(attacker, square)
    return next(chess.scan_forward(over & ~board.kings or over), None)


def _kind(board: chess.Board, square: chess.Square | None) -> chess.PieceType | None:
    return None if square is None else board.piece_type_at(square)
