"""Squares of eight by eight, turned: how sets, words of the black king's squares, become bytes of placements, and back.

Row *i* is one array; its columns are the bits of each byte, or the bytes of each word. Rows and columns are exchanged
by quarters, then by quarters of these, always whole arrays at a time::

    A B      A C
    C D  ->  B D
"""

from __future__ import annotations

from typing import Final

import numpy as np

from matebot.solver.geometry import Words

#: The left half of the columns, then every other pair, then every other one; by the bits of a column.
_LEFT: Final = {
    1: (0x0F0F_0F0F_0F0F_0F0F, 0x3333_3333_3333_3333, 0x5555_5555_5555_5555),
    8: (0x0000_0000_FFFF_FFFF, 0x0000_FFFF_0000_FFFF, 0x00FF_00FF_00FF_00FF),
}


def exchange(rows: Words, column_bits: int) -> None:
    """Exchange, in place, column *j* of row *i* with column *i* of row *j*.

    Parameters
    ----------
    rows : contiguous, shape (8, any)
    column_bits : 1 for the bits of each byte, 8 for the bytes of each word
    """
    room = np.empty(rows.size // 2, np.uint64)
    for apart, mask in zip((4, 2, 1), _LEFT[column_bits], strict=True):
        halves = rows.reshape(4 // apart, 2, apart, -1)
        upper, lower = halves[:, 0], halves[:, 1]
        moved, by = room.reshape(upper.shape), np.uint64(apart * column_bits)
        np.right_shift(upper, by, out=moved)
        moved ^= lower
        moved &= np.uint64(mask)
        lower ^= moved
        moved <<= by
        upper ^= moved
