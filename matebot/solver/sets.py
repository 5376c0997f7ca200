"""What is done to whole sets: added, kept, dropped, and codes written from them; large ones are shared out to the crew.

Sets are contiguous. The first one named is changed in place.
"""

from __future__ import annotations

from collections.abc import Callable
from math import prod
from typing import Final

import numpy as np

from matebot.solver.codes import pack
from matebot.solver.crew import Crew, parts_of
from matebot.solver.geometry import Codes, Words
from matebot.solver.turning import exchange

#: So many times eight words of each set are turned into codes at once: few enough to stay near the core.
_AT_ONCE: Final = 2048


class Sets:
    """Operations on sets.

    Parameters
    ----------
    crew : shares the work on large sets
    """

    def __init__(self, crew: Crew | None = None) -> None:
        self.crew = crew or Crew()

    def empty(self, shape: tuple[int, ...]) -> Words:
        """Return an empty set."""
        return np.zeros(shape, np.uint64)

    def spare(self, *unused: Words) -> None:
        """Take back sets that nobody uses any more, as room for others."""

    def some(self, one: Words) -> bool:
        """Tell whether there is any position in a set."""
        return bool(one.any())

    def within(self, codes: Codes, low: int, high: int) -> Words:
        """Return the set of positions with a code in ``low..high``; shape (..., 64) becomes (...,)."""
        found = np.empty(codes.shape[:-1], np.uint64)

        def work(part: slice, hand: int) -> None:
            found[part] = pack((codes[part] - np.uint8(low)) <= np.uint8(high - low))  # what is below wraps round

        self.crew.each(parts_of(len(codes), codes.size // 8), work)
        return found

    def add(self, into: Words, more: Words) -> None:
        """Add a set to another."""

        def work(to: Words, from_: Words) -> None:
            to |= from_

        self._each(work, into, more)

    def keep(self, into: Words, among: Words) -> None:
        """Keep of a set what is in another."""

        def work(to: Words, from_: Words) -> None:
            to &= from_

        self._each(work, into, among)

    def drop(self, into: Words, less: Words) -> None:
        """Drop from a set what is in another."""

        def work(to: Words, from_: Words) -> None:
            to &= ~from_

        self._each(work, into, less)

    def record(self, fresh: Words, known: Words, digits: Words, number: int, open_: Words | None = None) -> None:
        """Record a number for the positions of a set: add them to those known and to the digits, the lowest first.

        `open_` : where given, what else is in the set is dropped from it, and what is left of it from these
        """
        if open_ is not None:
            self.keep(fresh, open_)
            self.drop(open_, fresh)
        marked = [digits[place] for place in range(number.bit_length()) if number >> place & 1]

        def work(from_: Words, *into: Words) -> None:
            for one in into:
                one |= from_

        self._each(work, fresh, known, *marked)

    def without(self, all_: Words, less: Words) -> Words:
        """Return a set without another, as a new one."""
        found = np.empty(all_.shape, np.uint64)

        def work(to: Words, from_: Words, gone: Words) -> None:
            np.invert(gone, out=to)
            to &= from_

        self._each(work, found, all_, less)
        return found

    def _each(self, work: Callable[..., None], *sets: Words) -> None:
        flat = [one.reshape(-1) for one in sets]
        size = flat[0].size
        self.crew.each(parts_of(size, size), lambda part, hand: work(*(one[part] for one in flat)))

    def codes(self, digits: Words, used: int, sides: Words, there: Words) -> Codes:
        """Return codes in the reduced layout (see `codes`) from the binary digits of the numbers.

        Parameters
        ----------
        digits : shape (8, ...), the lowest first; those from `used` on are empty
        sides : shape (2, ...), what Black and what White wins
        there : the positions
        """
        shape = there.shape
        kings = shape[-1]
        table = np.empty((kings, 64, *shape[:-1]), dtype=np.uint8)
        flat, places = table.reshape(kings, 64, -1), prod(shape[:-1])
        self._write(digits.reshape(8, places, kings), used, sides.reshape(2, places, kings), there, flat)
        return table

    def _write(self, digits: Words, used: int, sides: Words, there: Words, table: Codes) -> None:
        kings, _, places = table.shape
        shape = (places // 8, 8, kings)
        losses = [sides[0]] if sides[0].any() else []
        sets = [one.reshape(shape) for one in (there, sides[1], *losses, *digits[:used])]
        into = table.view(np.uint64).reshape(kings, 8, 8, -1)

        step = max(1, _AT_ONCE // kings)

        def write(part: slice, hand: int) -> None:
            for start in range(part.start, part.stop, step):
                here = slice(start, min(start + step, part.stop))
                octets = np.empty((8, len(sets), kings, here.stop - start), np.uint64)
                for one, words in zip(sets, octets.swapaxes(0, 1), strict=True):
                    words[:] = one[here].transpose(1, 2, 0)
                exchange(octets.reshape(8, -1), 8)
                positions, won, *others = octets.swapaxes(0, 1)
                lost = others.pop(0) if losses else None
                planes = _planes(others, won, lost)
                planes |= ~positions  # `ILLEGAL` has every bit
                exchange(planes.reshape(8, -1), 1)
                into[..., here] = planes.transpose(2, 1, 0, 3)

        self.crew.each(parts_of(places // 8, there.size), write)


def _planes(digits: list[Words], won: Words, lost: Words | None) -> Words:
    """Return the binary digits of codes from those of the numbers, shape (8, ...).

    A win of Black's is 254 minus the number, which is the number's complement less one.
    """
    planes = np.zeros((8, *won.shape), np.uint64)
    for plane, digit in zip(planes, digits, strict=False):
        plane |= digit & won
    if lost is None:
        planes[7] = ~won
        return planes
    planes[7] = ~(won | lost)
    borrow = lost
    for place, plane in enumerate(planes):
        number = digits[place] if place < len(digits) else np.zeros_like(won)
        plane |= (number ^ borrow ^ ~np.uint64(0)) & lost
        borrow = borrow & number
    return planes
