"""Parts of the board by name."""

from __future__ import annotations

from matebot.ideas.idea import Squares, square_name
from matebot.ideas.squares import CORNERS, from_edge, king_steps

_BY_CORNER = 3


def part(squares: Squares) -> str:
    """Return the part of the board in which all of some squares lie: ``on ranks 7 and 8``; "" where that is none."""
    if not any(map(from_edge, squares)):
        return "on the edge"
    near = (corner for corner in CORNERS if all(king_steps(square, corner) <= _BY_CORNER for square in squares))
    if (by := next(near, None)) is not None:
        close = all(king_steps(square, by) < _BY_CORNER for square in squares)
        if close or by in squares:  # else it lies beside the corner, not around it
            return f"{'near' if close else 'around'} the {square_name(by)} corner"
    for low, high in ((0, 1), (6, 7)):
        if all(low <= square // 8 <= high for square in squares):
            return f"on ranks {low + 1} and {high + 1}"
        if all(low <= square % 8 <= high for square in squares):
            return f"on the {'abcdefgh'[low]}- and {'abcdefgh'[high]}-files"
    return ""
