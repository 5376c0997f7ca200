"""Squares, rays and attack masks as small constant arrays; knows nothing of sets of positions.

Squares are numbered a1 = 0, b1 = 1, ..., h8 = 63. A mask is a ``uint64`` whose bit *s* is square *s*.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

#: Masks; where they are sets of positions, an axis for each man and the white king, see `placement`.
Words = NDArray[np.uint64]
#: Values of positions, a byte each, see `codes`.
Codes = NDArray[np.uint8]

ALL: Final = np.uint64(0xFFFF_FFFF_FFFF_FFFF)
ZERO: Final = np.uint64(0)

ORTHOGONALS: Final = ((1, 0), (-1, 0), (0, 1), (0, -1))
DIAGONALS: Final = ((1, 1), (1, -1), (-1, 1), (-1, -1))
LEAPS: Final = ((2, 1), (2, -1), (1, 2), (1, -2), (-1, 2), (-1, -2), (-2, 1), (-2, -1))

#: For each sliding man its directions as (rank step, file step).
RAYS_OF: Final = {"Q": ORTHOGONALS + DIAGONALS, "R": ORTHOGONALS, "B": DIAGONALS}


def step(square: int, rank_step: int, file_step: int) -> int | None:
    """Return the square reached by one step, or None off the board."""
    rank, file = square // 8 + rank_step, square % 8 + file_step
    return rank * 8 + file if 0 <= rank < 8 and 0 <= file < 8 else None


def ray(square: int, rank_step: int, file_step: int) -> list[int]:
    """Return the squares met when walking from a square to the edge, nearest first."""
    found: list[int] = []
    rank, file = square // 8 + rank_step, square % 8 + file_step
    while 0 <= rank < 8 and 0 <= file < 8:
        found.append(rank * 8 + file)
        rank, file = rank + rank_step, file + file_step
    return found


def cut(size: int, offset: int) -> tuple[slice, slice]:
    """Slices (from, to) of one axis: ``to`` is ``from`` moved by an offset, both inside."""
    if offset >= 0:
        return slice(0, size - offset), slice(offset, size)
    return slice(-offset, size), slice(0, size + offset)


@cache
def sweep(direction: tuple[int, int]) -> tuple[tuple[Any, ...], tuple[tuple[Any, Any], ...]]:
    """Return how a ray is swept over an array (before, 8 ranks, 8 files, after), from its far end.

    First the edges from which it leads off the board, as indices; then the steps, two indices each: a whole rank or
    file, as much of it as has a next square along the ray, and those squares.
    """
    rank_step, file_step = direction
    main, every = rank_step or file_step, slice(None)
    edges: list[Any] = []
    if rank_step:
        edges.append((every, 7 if rank_step > 0 else 0))
    if file_step:
        edges.append((every, every, 7 if file_step > 0 else 0))
    steps: list[tuple[Any, Any]] = []
    for at in range(6, -1, -1) if main > 0 else range(1, 8):
        if rank_step:
            from_file, to_file = cut(8, file_step)
            steps.append(((every, at, from_file), (every, at + main, to_file)))
        else:
            steps.append(((every, every, at), (every, every, at + main)))
    return tuple(edges), tuple(steps)


def _mask(squares: list[int]) -> int:
    return sum(1 << square for square in squares)


def _leaper(steps: tuple[tuple[int, int], ...]) -> Words:
    masks = [_mask([t for d in steps if (t := step(s, *d)) is not None]) for s in range(64)]
    return np.array(masks, dtype=np.uint64)


def _open_rays(directions: tuple[tuple[int, int], ...]) -> Words:
    """Attacks of a slider with one blocker, shape (64 slider, 64 blocker).

    Attacks with two blockers are the AND of two rows: each blocker only removes what lies behind it.
    """
    table = []
    for square in range(64):
        rays = [ray(square, *d) for d in directions]
        whole = _mask([t for r in rays for t in r])
        row = [whole] * 64
        for r in rays:
            behind = 0
            for blocker in reversed(r):
                row[blocker] = whole & ~behind
                behind |= 1 << blocker
        table.append(row)
    return np.array(table, dtype=np.uint64)


def _between() -> Words:
    """Squares strictly between two squares on one line, shape (64, 64); 0 where they share none."""
    table = [[0] * 64 for _ in range(64)]
    for square, row in enumerate(table):
        for d in ORTHOGONALS + DIAGONALS:
            passed = 0
            for other in ray(square, *d):
                row[other] = passed
                passed |= 1 << other
    return np.array(table, dtype=np.uint64)


KING: Final = _leaper(ORTHOGONALS + DIAGONALS)
KNIGHT: Final = _leaper(LEAPS)
WHITE_PAWN: Final = _leaper(((1, 1), (1, -1)))
BLACK_PAWN: Final = _leaper(((-1, 1), (-1, -1)))
BETWEEN: Final = _between()
SLIDER: Final = {man: _open_rays(directions) for man, directions in RAYS_OF.items()}
BIT: Final = np.array([1 << s for s in range(64)], dtype=np.uint64)


def attacks(man: str, white: bool) -> Words:
    """Attack masks of a man, shape (64 man, 64 blocker); the blocker matters to sliders only.

    Parameters
    ----------
    man : one of "QRBNPK"
    white : the man's colour, which matters to pawns only
    """
    if man in SLIDER:
        return SLIDER[man]
    plain = {"N": KNIGHT, "K": KING, "P": WHITE_PAWN if white else BLACK_PAWN}[man]
    return np.repeat(plain[:, None], 64, axis=1)


def open_board(man: str, white: bool) -> Words:
    """Return what a man sees from each of the 64 squares on an empty board."""
    return np.asarray(np.bitwise_or.reduce(attacks(man, white), axis=1))


def has_bit(masks: Words, squares: NDArray[np.integer]) -> NDArray[np.bool_]:
    """Tell, element by element after broadcasting, whether a mask holds a square."""
    return ((masks >> squares.astype(np.uint64)) & np.uint64(1)).astype(np.bool_)


def fill(truth: NDArray[np.bool_]) -> Words:
    """Turn truth values into words of 64 equal bits."""
    return np.where(truth, ALL, ZERO)
