"""The right corner of bishop and knight, and how far the defending king is from it."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, men
from matebot.facts.played import Played
from matebot.ideas.squares import king_steps
from matebot.method.squares import right_corners
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class RightCorner:
    """The corners of the bishop's colour; all None without bishop and knight.

    Attributes
    ----------
    right_corner : the one nearest to the king after the move; None when both are as near
    corner_steps_before, corner_steps_after : the king's steps to the nearest
    """

    right_corner: str | None
    corner_steps_before: int | None
    corner_steps_after: int | None

    @classmethod
    def of(cls, played: Played) -> RightCorner:
        """Return the corners before and after a move."""
        before, after = _steps(played.before, played.attacker), _steps(played.after, played.attacker)
        least = min(after.values(), default=None)
        nearest = [corner for corner, steps in after.items() if steps == least]
        right_corner = chess.square_name(nearest[0]) if len(nearest) == 1 else None
        return cls(right_corner, min(before.values(), default=None), least)


def _steps(board: chess.Board, attacker: chess.Color | None) -> dict[chess.Square, int]:
    """Return the defending king's steps to each corner of the bishop's colour; empty without bishop and knight."""
    if attacker is None:
        return {}
    bishops = men(board, chess.BISHOP, attacker)
    if len(bishops) != 1 or len(men(board, chess.KNIGHT, attacker)) != 1:
        return {}
    king = king_square(board, not attacker)
    return {corner: king_steps(king, corner) for corner in right_corners(bishops[0])}
