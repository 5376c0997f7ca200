"""Squares as numbers 0 to 63, a1 the first: what a pupil counts on the board; plain integers only.

Zones ask for the same few thousand pairs of squares again and again, so the answers are remembered.
"""

from __future__ import annotations

from functools import cache

SQUARES = range(64)


def rank(square: int) -> int:
    """Return the rank, 0 to 7."""
    return square // 8


def file(square: int) -> int:
    """Return the file, 0 to 7."""
    return square % 8


@cache
def from_edge(square: int) -> int:
    """Return how many steps a square is from the nearest edge: 0 on the edge, 3 in the very centre."""
    return min(rank(square), 7 - rank(square), file(square), 7 - file(square))


def is_dark(square: int) -> bool:
    """Whether a square is dark, like a1."""
    return (rank(square) + file(square)) % 2 == 0


@cache
def king_steps(a: int, b: int) -> int:
    """Return the king moves between two squares on an empty board."""
    return max(abs(rank(a) - rank(b)), abs(file(a) - file(b)))


@cache
def right_corners(bishop: int) -> tuple[int, int]:
    """Return the corners of the bishop's colour, the only ones in which bishop and knight can force mate."""
    return (0, 63) if is_dark(bishop) else (7, 56)


@cache
def corner_depth(square: int, corner: int) -> int:
    """Return ranks plus files between a square and a corner: at most k means behind the k-th diagonal from it."""
    return abs(rank(square) - rank(corner)) + abs(file(square) - file(corner))


@cache
def box_squares(man: int, king: int) -> int:
    """Return the size of the box that a man's rank and file leave a king; the whole width where it is on the line."""

    def width(of_man: int, of_king: int) -> int:
        return of_man if of_king < of_man else 7 - of_man if of_king > of_man else 8

    return width(rank(man), rank(king)) * width(file(man), file(king))


@cache
def lines_left(man: int, king: int) -> int:
    """Return how many ranks, or files, a man's rank or file leaves a king, the fewer of the two; 8 without a line."""
    pairs = ((rank(man), rank(king)), (file(man), file(king)))
    return min(
        (of_man if of_king < of_man else 7 - of_man for of_man, of_king in pairs if of_man != of_king), default=8
    )


def locks_edge(man: int, king: int) -> bool:
    """Whether a king on the edge is kept there by a man's rank or file, the one next to the edge."""
    lines = (
        (rank(king), rank(man)),
        (file(king), file(man)),
    )
    return any((edge, line) in ((0, 1), (7, 6)) for edge, line in lines)


def outside_square(pawn: int, king: int) -> bool:
    """Whether a king, his opponent to move, is outside the square of a white pawn (double step not counted)."""
    promotion = 56 + file(pawn)
    return king_steps(king, promotion) > 7 - rank(pawn)


@cache
def key_squares(pawn: int) -> frozenset[int]:
    """Return the key squares of a white pawn (common practice, no source)."""
    column = file(pawn)
    if column in (0, 7):
        beside = 1 if column == 0 else 6
        return frozenset((48 + beside, 56 + beside))
    if rank(pawn) <= 3:
        rows: tuple[int, ...] = (rank(pawn) + 2,)
    else:
        rows = (rank(pawn) + 1, rank(pawn) + 2) if rank(pawn) < 6 else (6, 7)
    return frozenset(row * 8 + c for row in rows if row < 8 for c in (column - 1, column, column + 1))


@cache
def past_key_squares(pawn: int, king: int) -> bool:
    """Whether White's king is in front of all key squares of a pawn, on its file or the next ones."""
    return abs(file(king) - file(pawn)) <= 1 and rank(king) > max(map(rank, key_squares(pawn)))
