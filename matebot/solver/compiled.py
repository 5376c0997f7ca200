"""The same as `sets` and `moves` by compiled loops: for five men, where numba is installed.

Compiling takes half a minute the first time; what comes of it is kept beside the modules.
"""

from __future__ import annotations

from collections.abc import Callable
from math import prod

import numpy as np

from matebot.solver import kernels, row_kernels, set_kernels
from matebot.solver.compiling import Numbers
from matebot.solver.conversions import Spreading
from matebot.solver.crew import Crew, parts_of
from matebot.solver.geometry import Codes, Words
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement
from matebot.solver.sets import Sets
from matebot.solver.symmetry import Reduction

_HOW = {
    "Q": kernels.STRAIGHT | kernels.SLANTED,
    "R": kernels.STRAIGHT,
    "B": kernels.SLANTED,
    "N": kernels.LEAPING,
}
_ANYWHERE = np.zeros(0, np.uint64)
#: Sets that are kept as room for others.
_SPARE = 3
#: The men beside the kings for which there are loops; with fewer the first have one square.
_MEN = 3


class CompiledSets(Sets):
    """Operations on sets by compiled loops; some room is used again and again, since fresh memory takes longer."""

    def __init__(self, crew: Crew | None = None) -> None:
        super().__init__(crew)
        self._spare: list[Words] = []

    def empty(self, shape: tuple[int, ...]) -> Words:
        """Return an empty set."""
        room = self._taken(shape)
        if room is None:
            return super().empty(shape)
        self.drop(room, room)
        return room

    def _taken(self, shape: tuple[int, ...]) -> Words | None:
        """Return room that is not used, whatever it holds."""
        for number, room in enumerate(self._spare):
            if room.shape == shape:
                return self._spare.pop(number)
        return None

    def spare(self, *unused: Words) -> None:
        """Take back sets that nobody uses any more, as room for others."""
        self._spare = [*unused, *self._spare][:_SPARE]

    def some(self, one: Words) -> bool:
        """Tell whether there is any position in a set."""
        return set_kernels.some(one.reshape(-1))

    def within(self, codes: Codes, low: int, high: int) -> Words:
        """Return the set of positions with a code in ``low..high``; shape (..., 64) becomes (...,)."""
        found = np.empty(codes.shape[:-1], np.uint64)
        flat, words = codes.reshape(-1, 64), found.reshape(-1)
        self.crew.each(
            parts_of(len(flat), codes.size // 8),
            lambda part, hand: row_kernels.within(flat, low, high, words, part.start, part.stop),
        )
        return found

    def add(self, into: Words, more: Words) -> None:
        """Add a set to another."""
        self._parted(set_kernels.add, into, more)

    def keep(self, into: Words, among: Words) -> None:
        """Keep of a set what is in another."""
        self._parted(set_kernels.keep, into, among)

    def drop(self, into: Words, less: Words) -> None:
        """Drop from a set what is in another."""
        self._parted(set_kernels.drop, into, less)

    def without(self, all_: Words, less: Words) -> Words:
        """Return a set without another, as a new one."""
        room = self._taken(all_.shape)
        found = np.empty(all_.shape, np.uint64) if room is None else room
        to, from_, gone = found.reshape(-1), all_.reshape(-1), less.reshape(-1)
        self.crew.each(
            parts_of(to.size, to.size), lambda part, hand: set_kernels.without(to, from_, gone, part.start, part.stop)
        )
        return found

    def record(self, fresh: Words, known: Words, digits: Words, number: int, open_: Words | None = None) -> None:
        """Record a number for the positions of a set, of those that are open, where some are; these are closed."""
        new, all_, each = fresh.reshape(-1), known.reshape(-1), digits.reshape(len(digits), -1)
        rest = _flat(open_)
        self.crew.each(
            parts_of(new.size, new.size),
            lambda part, hand: set_kernels.record(new, rest, all_, each, number, part.start, part.stop),
        )

    def _parted(self, kernel: Callable[[Words, Words, int, int], None], into: Words, other: Words) -> None:
        to, from_ = into.reshape(-1), other.reshape(-1)
        self.crew.each(parts_of(to.size, to.size), lambda part, hand: kernel(to, from_, part.start, part.stop))

    def _write(self, digits: Words, used: int, sides: Words, there: Words, table: Codes) -> None:
        kings, _, places = table.shape
        flat = digits.reshape(8, -1), sides.reshape(2, -1), there.reshape(-1), table

        def write(part: slice, hand: int) -> None:
            row_kernels.write_codes(*flat, kings, used, part.start, part.stop)

        self.crew.each(parts_of(places, there.size), write)


class CompiledMoves(Moves):
    """Backward moves by compiled loops."""

    heeds_among = True

    def __init__(self, placement: Placement, crew: Crew | None = None) -> None:
        super().__init__(placement, crew)
        self._ways, self._far = _ways(placement.reduction)
        self._sizes = (1,) * (_MEN - placement.king_axis) + placement.shape[:-1]
        self._places = _places(self._sizes)

    def _man(self, reached: Words, axis: int, out: Words, among: Words | None) -> None:
        shape = self.placement.shape
        before, after = prod(shape[:axis]), prod(shape[axis + 1 :])
        from_, free, wanted, to = map(_flat, (reached, self.placement.apart, among, out))
        how = _HOW[self.placement.men[axis][0]]

        def move(part: slice, hand: int) -> None:
            whole = (0, before), (0, after)
            here = (part.start, part.stop)
            boards, words = (here, whole[1]) if before > 1 else (whole[0], here)
            kernels.man_before(from_, free, wanted, to, boards, words, after, how)

        parts = parts_of(before, self._words) if before > 1 else parts_of(after, self._words)
        self._crew.each(parts, move)

    def _white_king(self, reached: Words, out: Words, among: Words | None) -> None:
        from_, wanted, to = map(_flat, (reached, among, out))
        shape = self._sizes[1], self._sizes[2]
        ways = self._ways, self._far, self._places

        some = np.empty(self._sizes[0] * self._sizes[1], np.bool_)

        def move(part: slice, hand: int) -> None:
            kernels.white_king_before(from_, some, wanted, to, (part.start, part.stop), shape, *ways)

        parts = parts_of(len(some), self._words)
        self._crew.each(parts, lambda part, hand: kernels.look(from_, some, part.start, part.stop))
        self._crew.each(parts, move)

    def _black_king(self, reached: Words, out: Words, among: Words | None) -> None:
        from_, wanted, to = map(_flat, (reached, among, out))
        self._crew.each(
            parts_of(to.size, self._words),
            lambda part, hand: kernels.black_king_before(from_, wanted, to, part.start, part.stop),
        )


class CompiledSpreading(Spreading):
    """Lays sets back by compiled loops."""

    def masked(self, out: Words, part: slice, laid: Words, mask: Words) -> None:
        """Add to a part of a set what is in two others."""
        shape = _four(out).shape
        set_kernels.masked(_four(out), _wide(laid, shape), _wide(mask, shape), *_ends(out, part))

    def near(self, out: Words, part: slice, laid: Words, square: Words, near: Words) -> None:
        """Add to a part of a set the words `near` where a set holds a square."""
        shape = _four(out).shape
        laid, square, near = (_wide(one, shape) for one in (laid, square, near))
        set_kernels.near(_four(out), laid, square, near, *_ends(out, part))


def _four(one: Words) -> Words:
    """View a set with axes for three men; those that are missing come first."""
    return one.reshape((1,) * (_MEN + 1 - one.ndim) + one.shape)


def _wide(one: Words, shape: tuple[int, ...]) -> Words:
    return np.broadcast_to(_four(one), shape)


def _ends(out: Words, part: slice) -> tuple[int, int]:
    return (part.start, part.stop) if out.ndim > _MEN else (0, 1)


def _flat(one: Words | None) -> Words:
    return _ANYWHERE if one is None else one.reshape(-1)


def _ways(reduction: Reduction) -> tuple[Numbers, Numbers]:
    """Return the squares next to home squares, and those of them that are none; see `kernels.white_king_before`."""
    home = reduction.home
    far = sorted({square for around in reduction.neighbours for square in around} - set(home))
    number = {square: at for at, square in enumerate((*home, *far))}
    ways = np.full((len(home), 8), -1, np.int64)
    for row, around in zip(ways, reduction.neighbours, strict=True):
        row[: len(around)] = [number[square] for square in around]
    strangers = np.zeros((len(far), 2), np.int64)
    for row, square in zip(strangers, far, strict=True):
        across, over, turned = reduction.mirrors[square]
        row[:] = turned | over << 1 | across << 2, reduction.king_class[square]
    return ways, strangers


def _places(sizes: tuple[int, ...]) -> Numbers:
    """Return for every mirrors and each man where his squares come from; pawns are mirrored left and right only."""
    places = np.zeros((8, _MEN, 64), np.int64)
    for mirrors in range(8):
        for man, size in enumerate(sizes):
            board = np.arange(size).reshape(-1, min(8, size))
            if mirrors & 1 and size == 64:
                board = board.T
            if mirrors & 2:
                board = board[::-1]
            if mirrors & 4:
                board = board[:, ::-1]
            places[mirrors, man, :size] = board.reshape(-1)
    return places
