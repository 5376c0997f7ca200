"""One byte for the value of a position, and the symmetry-reduced layout in which the bytes are kept.

A code grows from White's best to Black's best::

    0 .. 126      White wins; the code is the distance in plies
    127           drawn
    128 .. 254    Black wins; 254 minus the code is the distance in plies
    255           no legal position

A table for one side to move is a ``uint8`` array of shape
``(home squares of the white king, 64 black king, squares of the first man[, squares of the second man])``;
a pawn has the 48 squares of the ranks two to seven, every other man 64.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION

DRAW: Final = 127
ILLEGAL: Final = 255
FLIP: Final = np.array([254 - c if c != ILLEGAL else ILLEGAL for c in range(256)], dtype=np.uint8)
PAWN_SQUARES: Final = np.arange(8, 56)
SQUARES: Final = np.arange(64)


def white_wins(code: int) -> bool:
    """Whether White wins."""
    return code < DRAW


def plies(code: int) -> int | None:
    """Distance in plies behind a code, None for a draw or no position."""
    if code < DRAW:
        return code
    return 254 - code if DRAW < code < ILLEGAL else None


def squares_of(man: str) -> NDArray[np.intp]:
    """Squares a man's axis runs over."""
    return PAWN_SQUARES if man == "P" else SQUARES


def unpack(words: Words) -> NDArray[np.uint8]:
    """Spread words into bytes 0 and 1; shape (...,) becomes (..., 64)."""
    octets = np.ascontiguousarray(words)[..., None].view(np.uint8)
    return np.unpackbits(octets, axis=-1, bitorder="little")


def pack(truth: NDArray[np.bool_]) -> Words:
    """Gather truth values into words; shape (..., 64) becomes (...,)."""
    octets = np.packbits(truth, axis=-1, bitorder="little")
    words: Words = octets.view(np.uint64)[..., 0]
    return words


def expand(
    table: Codes,
    material: Material,
    men_squares: list[NDArray[np.intp]],
    white_king: NDArray[np.intp],
    black_king: NDArray[np.intp],
) -> Codes:
    """Undo the reduction for chosen squares.

    Parameters
    ----------
    table : codes of an ending for one side to move, in the reduced layout
    men_squares : for each man, the squares wanted; a pawn off its ranks gives illegal positions

    Returns
    -------
    codes with the axes (men..., white king, black king), in the order of the squares given
    """
    reduction = REDUCTION[material.has_pawns]
    names = [man for man, _ in material.men]
    out = np.empty(
        (*(len(s) for s in men_squares), len(white_king), len(black_king)),
        dtype=np.uint8,
    )
    offsets = [8 if name == "P" else 0 for name in names]
    for column, king in enumerate(white_king.tolist()):
        mapped = np.frombuffer(reduction.mapped[king], dtype=np.uint8).astype(np.intp)
        places = [
            np.clip(mapped[s] - offset, 0, 47 if offset else 63) for s, offset in zip(men_squares, offsets, strict=True)
        ]
        part = table[reduction.king_class[king]][np.ix_(mapped[black_king], *places)]
        out[..., column, :] = np.moveaxis(part, 0, -1)
    for axis, (squares, offset) in enumerate(zip(men_squares, offsets, strict=True)):
        off_ranks = (squares < 8) | (squares > 55)
        if offset and off_ranks.any():
            out[(slice(None),) * axis + (off_ranks,)] = ILLEGAL
    return out
