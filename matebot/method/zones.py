"""The vocabulary in which zones are written: sets of placements that a pupil can see on the board."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from matebot.method.squares import SQUARES, file, rank
from matebot.solver import geometry as geo
from matebot.solver.geometry import Words
from matebot.solver.placement import Placement

#: Eight lines, and which of them a square is on.
_Lines = tuple[tuple[int, ...], Callable[[int], int]]


class Zones:
    """Sets of placements of one ending, White the stronger side, by what is seen on the board.

    Every method returns words that broadcast to a set and combine with ``&`` and ``|``.
    """

    def __init__(self, placement: Placement) -> None:
        self._placement = placement

    @property
    def everywhere(self) -> Words:
        """All placements."""
        return self._placement.apart

    def man(self, number: int, where: Callable[[int], bool]) -> Words:
        """Placements with a man on certain squares."""
        return self._placement.lay(_truth(where), number)

    def white_king(self, where: Callable[[int], bool]) -> Words:
        """Placements with the white king on certain squares."""
        return self._placement.lay(_truth(where), self._placement.king_axis)

    def black_king(self, where: Callable[[int], bool]) -> Words:
        """Placements with the black king on certain squares."""
        return self._placement.apart & np.uint64(sum(1 << s for s in SQUARES if where(s)))

    def black_king_by_man(self, number: int, where: Callable[[int, int], bool]) -> Words:
        """Placements by the squares of a man and of the black king, in this order."""
        return self._placement.lay(_masks(where), number)

    def black_king_by_white_king(self, where: Callable[[int, int], bool]) -> Words:
        """Placements by the squares of the white and of the black king, in this order."""
        return self._placement.lay(_masks(where), self._placement.king_axis)

    def white_king_by_man(self, number: int, where: Callable[[int, int], bool]) -> Words:
        """Placements by the squares of a man and of the white king, in this order."""
        return self._placement.lay(geo.fill(_table(where)), number, self._placement.king_axis)

    def man_by_man(self, number: int, other: int, where: Callable[[int, int], bool]) -> Words:
        """Placements by the squares of two men, in this order."""
        return self._placement.lay(geo.fill(_table(where)), number, other)

    def beyond_line(self, number: int, other: int) -> Words:
        """Placements in which a rank or file of a man lies between another man and Black's king."""
        masks = [[_beyond(man, from_, ((_RANKS, rank), (_FILES, file))) for from_ in SQUARES] for man in SQUARES]
        return self._placement.lay(np.array(masks, dtype=np.uint64), number, other)

    def beyond_file(self, number: int, other: int) -> Words:
        """Placements in which the file of a man lies between another man and Black's king."""
        masks = [[_beyond(man, from_, ((_FILES, file),)) for from_ in SQUARES] for man in SQUARES]
        return self._placement.lay(np.array(masks, dtype=np.uint64), number, other)

    def attacks_through(self, number: int, other: int) -> Words:
        """Placements in which a man attacks Black's king, or would with another man off the board."""
        return self._placement.fire(number, but=other)

    def guards_through(self, number: int, other: int, square: Callable[[int], int]) -> Words:
        """Placements in which a man guards a square that belongs to another's, or would with that man off the board.

        Black's king does not bar the line.
        """
        wanted = np.array([square(at) for at in SQUARES], dtype=np.uint64)
        fire = self._placement.fire(number, but=other)
        return geo.fill(geo.has_bit(fire, self._placement.lay(wanted, other)))

    def guards(self, man: int, other: int) -> Words:
        """Placements in which a man guards another of its side, every man on the board standing in its way."""
        return self._placement.hits(man, other)


def _truth(where: Callable[[int], bool]) -> Words:
    return geo.fill(np.array([where(s) for s in SQUARES]))


_RANKS, _FILES = tuple(0xFF << 8 * n for n in range(8)), tuple(0x0101010101010101 << n for n in range(8))


def _beyond(man: int, other: int, kinds: tuple[_Lines, ...]) -> int:
    """Return the squares beyond a man's rank or file, as far as it is asked for, as seen from another man's square."""
    mask = 0
    for lines, line in kinds:
        here, there = line(man), line(other)
        mask |= sum(lines[here + 1 :] if there < here else lines[:here] if there > here else ())
    return mask


def _table(where: Callable[[int, int], bool]) -> NDArray[np.bool_]:
    return np.array([[where(one, other) for other in SQUARES] for one in SQUARES])


def _masks(where: Callable[[int, int], bool]) -> Words:
    masks = [sum(1 << king for king in SQUARES if where(other, king)) for other in SQUARES]
    return np.array(masks, dtype=np.uint64)
