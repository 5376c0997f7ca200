"""Symmetries of the board: which placements need no table entry of their own, and how sets are mirrored.

The white king is brought to a *home* square: to the triangle a1-d1-d4 in endings without pawns (ten squares), to
the files a to d in endings with pawns (32 squares). Everything else is mirrored along with it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from matebot.solver.geometry import Words, step

#: Mirrors applied in this order: left and right exchanged, top and bottom exchanged, files and ranks exchanged.
Mirrors = tuple[bool, bool, bool]


def _to_files_a_to_d(square: int) -> Mirrors:
    return square % 8 > 3, False, False


def _to_triangle(square: int) -> Mirrors:
    rank, file = divmod(square, 8)
    across, over = file > 3, rank > 3
    return across, over, (7 - rank if over else rank) > (7 - file if across else file)


def mirrored(square: int, mirrors: Mirrors) -> int:
    """Return the square to which a square is mirrored."""
    rank, file = divmod(square, 8)
    file = 7 - file if mirrors[0] else file
    rank = 7 - rank if mirrors[1] else rank
    return file * 8 + rank if mirrors[2] else rank * 8 + file


class Reduction:
    """The symmetry of endings with or without pawns, or none at all.

    Parameters
    ----------
    bring_home : tells for a square of the white king which mirrors bring it home

    Attributes
    ----------
    home : squares the white king is brought to, ascending
    mirrors : for each square of the white king, the mirrors that bring it home
    mapped : for each square of the white king, the 64 squares everything moves to with it
    king_class : for each square of the white king, the index of its home square
    neighbours : for each home square, the squares next to it
    """

    def __init__(self, bring_home: Callable[[int], Mirrors]) -> None:
        self.mirrors = [bring_home(s) for s in range(64)]
        boards = {mirrors: bytes(mirrored(t, mirrors) for t in range(64)) for mirrors in set(self.mirrors)}
        self.mapped = [boards[mirrors] for mirrors in self.mirrors]
        self.home = sorted({self.mapped[s][s] for s in range(64)})
        self.king_class = [self.home.index(self.mapped[s][s]) for s in range(64)]
        around = [(r, f) for r in (-1, 0, 1) for f in (-1, 0, 1) if r or f]
        self.neighbours = [[t for d in around if (t := step(h, *d)) is not None] for h in self.home]


#: The reduction used for tables, by whether there are pawns.
REDUCTION: Final = {False: Reduction(_to_triangle), True: Reduction(_to_files_a_to_d)}
#: No symmetry: for questions in which one placement differs from its mirror image.
WHOLE_BOARD: Final = Reduction(lambda square: (False, False, False))


#: How far apart bits are that are exchanged, and the lower ones of them.
_Swaps = tuple[tuple[np.uint64, np.uint64], ...]


def _swaps(*pairs: tuple[int, int]) -> _Swaps:
    return tuple((np.uint64(shift), np.uint64(mask)) for shift, mask in pairs)


_FILES: Final = _swaps((1, 0x5555_5555_5555_5555), (2, 0x3333_3333_3333_3333), (4, 0x0F0F_0F0F_0F0F_0F0F))
_DIAGONAL: Final = _swaps((28, 0x0000_0000_F0F0_F0F0), (14, 0x0000_CCCC_0000_CCCC), (7, 0x00AA_00AA_00AA_00AA))


def _swap_bits(words: Words, swaps: _Swaps) -> None:
    """Exchange, in place, bits of each word with others."""
    moved = np.empty_like(words)
    for by, which in swaps:
        np.right_shift(words, by, out=moved)
        moved ^= words
        moved &= which
        words ^= moved
        moved <<= by
        words ^= moved


def mirror_files_of_bits(words: Words) -> None:
    """Exchange, in place, left and right of the squares of each word."""
    _swap_bits(words, _FILES)


def mirror(slabs: Words, men: int, mirrors: Mirrors) -> Words:
    """Return sets, without their king axis, with every man and the black king mirrored.

    Parameters
    ----------
    slabs : shape (any, squares of man 0, squares of man 1, ...); whole ranks of eight squares a man
    mirrors : as in `Reduction.mirrors`; a word's bits at square s come from square `mirrored(s, mirrors)`
    """
    shape = slabs.shape
    boards = slabs.reshape(shape[0], *(n for size in shape[1:] for n in (size // 8, 8)))
    across, over, turned = mirrors
    if turned:
        boards = boards.transpose(0, *(axis for man in range(men) for axis in (2 * man + 2, 2 * man + 1)))
    if over:
        boards = np.flip(boards, axis=tuple(range(1, 2 * men + 1, 2)))
    if across:
        boards = np.flip(boards, axis=tuple(range(2, 2 * men + 1, 2)))
    out = np.ascontiguousarray(boards).reshape(shape)
    if out.base is slabs or out is slabs:
        out = out.copy()
    if turned:
        _swap_bits(out, _DIAGONAL)
    if over:
        out.byteswap(inplace=True)
    if across:
        mirror_files_of_bits(out)
    return out
