"""The loops that numba compiles over sets as they lie: joined, cut, recorded; without it they are plain Python.

They do what `sets` does with whole arrays, on a part of flat ones, and pass over what is empty.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from matebot.solver.compiling import compiled
from matebot.solver.geometry import Words

_NONE: Final = np.uint64(0)
_ONE = np.uint64(1)
#: Words looked at together: where they are empty they are passed over.
CHUNK: Final = 64
#: Exchanges of bits, see `symmetry`: ranks and files, all the ranks, all the files. Shift and mask of each step.
_SWAPS: Final = np.array(
    [
        [[28, 0x0000_0000_F0F0_F0F0], [14, 0x0000_CCCC_0000_CCCC], [7, 0x00AA_00AA_00AA_00AA]],
        [[8, 0x00FF_00FF_00FF_00FF], [16, 0x0000_FFFF_0000_FFFF], [32, 0x0000_0000_FFFF_FFFF]],
        [[1, 0x5555_5555_5555_5555], [2, 0x3333_3333_3333_3333], [4, 0x0F0F_0F0F_0F0F_0F0F]],
    ],
    np.uint64,
)


@compiled
def turned(word: np.uint64, kind: int) -> np.uint64:
    """Exchange the bits of a word: its ranks and files, all the ranks, or all the files."""
    for number in range(3):
        shift, mask = _SWAPS[kind, number, 0], _SWAPS[kind, number, 1]
        moved = ((word >> shift) ^ word) & mask
        word = word ^ moved ^ (moved << shift)
    return word


@compiled
def any_of(words: Words) -> bool:
    """Tell whether there is any bit, all words looked at."""
    found = _NONE
    for number in range(len(words)):
        found |= words[number]
    return bool(found != _NONE)


@compiled
def some(words: Words) -> bool:
    """Tell whether there is any bit."""
    for start in range(0, len(words), CHUNK):  # noqa: SIM110 - generators are not compiled
        if any_of(words[start : start + CHUNK]):
            return True
    return False


@compiled
def add(into: Words, more: Words, first: int, last: int) -> None:
    """Add a set to another."""
    for start in range(first, last, CHUNK):
        end = min(start + CHUNK, last)
        from_, to = more[start:end], into[start:end]
        if any_of(from_):
            for number in range(end - start):
                to[number] |= from_[number]


@compiled
def keep(into: Words, among: Words, first: int, last: int) -> None:
    """Keep of a set what is in another."""
    for start in range(first, last, CHUNK):
        end = min(start + CHUNK, last)
        from_, to = among[start:end], into[start:end]
        if any_of(to):
            for number in range(end - start):
                to[number] &= from_[number]


@compiled
def drop(into: Words, less: Words, first: int, last: int) -> None:
    """Drop from a set what is in another."""
    for start in range(first, last, CHUNK):
        end = min(start + CHUNK, last)
        from_, to = less[start:end], into[start:end]
        if any_of(from_):
            for number in range(end - start):
                to[number] &= ~from_[number]


@compiled
def without(into: Words, all_: Words, less: Words, first: int, last: int) -> None:
    """Write a set without another."""
    for number in range(first, last):
        into[number] = all_[number] & ~less[number]


@compiled
def masked(out: Words, laid: Words, mask: Words, first: int, last: int) -> None:
    """Add to a part of a set what is in two others; four axes each."""
    for one in range(first, last):
        for two in range(out.shape[1]):
            for three in range(out.shape[2]):
                for king in range(out.shape[3]):
                    word = laid[one, two, three, king]
                    if word != _NONE:
                        out[one, two, three, king] |= word & mask[one, two, three, king]


@compiled
def near(out: Words, laid: Words, squares: Words, words: Words, first: int, last: int) -> None:
    """Add to a part of a set a word where another holds a square; four axes each."""
    for one in range(first, last):
        for two in range(out.shape[1]):
            for three in range(out.shape[2]):
                for king in range(out.shape[3]):
                    if (laid[one, two, three, king] >> squares[one, two, three, king]) & _ONE != _NONE:
                        out[one, two, three, king] |= words[one, two, three, king]


@compiled
def record(fresh: Words, open_: Words, known: Words, digits: Words, number: int, first: int, last: int) -> None:
    """Record a number for what is open of a set: add it to `known` and its digits, shape (8, words), and close it.

    A set `open_` of no words: for all of the set.
    """
    for start in range(first, last, CHUNK):
        end = min(start + CHUNK, last)
        from_ = fresh[start:end]
        if any_of(from_):
            if len(open_):
                rest = open_[start:end]
                for at in range(end - start):
                    from_[at] &= rest[at]
                    rest[at] ^= from_[at]
            _join(known[start:end], from_)
            for place in range(8):
                if number >> place & 1:
                    _join(digits[place, start:end], from_)


@compiled
def _join(into: Words, more: Words) -> None:
    for number in range(len(into)):
        into[number] |= more[number]
