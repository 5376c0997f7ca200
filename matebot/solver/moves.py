"""Moves without capture or promotion, run backwards: from a set of positions to those one move before it.

A man on an array axis moves by shifted slices, the black king by shifted bits. A slider sweeps each ray once,
from its far end: ``swept[s] = reached[s + d] | (swept[s + d] & apart[s + d])``, a whole rank or file at a time::

    a rook's ray to the right, one rank:   reached  . . . . . X . .
                                           swept    X X X X X . . .   (nobody in the way)

Each man's moves are made part by part of the array (see `crew`), in parts along an axis that he does not move on. The
last man's squares lie so near each other in memory that rays are slow; for them the part is turned first.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from math import prod

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import PAWN_RANKS
from matebot.solver.crew import Crew, is_large, parts_of
from matebot.solver.geometry import Words, cut, sweep
from matebot.solver.placement import Placement
from matebot.solver.symmetry import Mirrors, Reduction, mirror, mirror_files_of_bits

_NOT_A = np.uint64(0xFEFE_FEFE_FEFE_FEFE)
_NOT_H = np.uint64(0x7F7F_7F7F_7F7F_7F7F)
_ONE, _EIGHT = np.uint64(1), np.uint64(8)
_CHUNK_WORDS = 1 << 15
#: Every so manyth word of a set is looked at to tell whether it is small, and the share of words in which it then is.
_SAMPLED, _SMALL = 61, 0.01
#: Rays over squares that lie nearer in memory are swept in an array that has been turned.
_NEAR_WORDS = 64
#: The king is moved on those placements of the men alone that hold anything where they are less than this part of all.
_FEW_COLUMNS = 0.5
#: As many words at least should lie next to each other then.
_TURNED = 256


def _strangers(reduction: Reduction) -> tuple[dict[Mirrors, list[int]], list[int]]:
    """Squares next to the home squares but not among them, by the mirrors that bring them home.

    Those for which top and bottom are exchanged come apart: they are mirror images of home squares or of the others.
    """
    found: dict[Mirrors, list[int]] = {}
    above = []
    for square in sorted({t for around in reduction.neighbours for t in around} - set(reduction.home)):
        if reduction.mirrors[square][1]:
            above.append(square)
        else:
            found.setdefault(reduction.mirrors[square], []).append(square)
    return found, above


def _files(reduction: Reduction) -> int:
    """Return how many whole files, from the first, the home squares are; 0 where they are something else."""
    files = len(reduction.home) // 8
    return files if reduction.home == [8 * rank + file for rank in range(8) for file in range(files)] else 0


class Moves:
    """Backward moves of one ending; keeps scratch space, so use it from one thread at a time.

    Parameters
    ----------
    crew : shares the work on large sets
    """

    def __init__(self, placement: Placement, crew: Crew | None = None) -> None:
        self.placement = placement
        self._crew = crew or Crew()
        self._words = prod(placement.shape)
        self._strangers, self._above = _strangers(placement.reduction)
        self._files = _files(placement.reduction)
        men_shape = (len(placement.reduction.home), prod(placement.shape[:-1]))
        self._by_king = np.empty(men_shape, dtype=np.uint64)
        self._scratch: dict[tuple[int, int], Words] = {}
        self._turned_apart: dict[int, Words] = {}

    def _board(self, array: Words, axis: int) -> Words:
        """View one man's axis as (rank, file): shape (before, ranks, 8, after)."""
        shape = self.placement.shape
        return array.reshape(prod(shape[:axis]), shape[axis] // 8, 8, -1)

    def _room(self, hand: int, number: int, shape: tuple[int, ...]) -> Words:
        """Return scratch space of one hand; what it held is lost."""
        room = self._scratch.get((hand, number))
        if room is None or room.size < prod(shape):
            room = self._scratch[hand, number] = np.empty(prod(shape), np.uint64)
        return room[: prod(shape)].reshape(shape)

    def _parted(self, axis: int, work: Callable[[tuple[slice, ...], int], None], least: int = 1) -> None:
        """Do work on parts of the boards of an axis: all of its squares, some of what is before or after it.

        `least` : the least of what is before it in a part
        """
        shape = self.placement.shape
        before, after = prod(shape[:axis]), prod(shape[axis + 1 :])
        whole = slice(None)
        if before > 1:
            parts = [(part, whole, whole, whole) for part in parts_of(before, self._words, least)]
        else:
            parts = [(whole, whole, whole, part) for part in parts_of(after, self._words, least=4096)]
        self._crew.each(parts, work)

    #: Whether moves are left out where they are not wanted.
    heeds_among = False

    def can_spare(self, found: Words) -> bool:
        """Whether it is worth while to look only before a set: it is small, and moves not wanted are left out."""
        some = found.reshape(-1)[::_SAMPLED]
        return self.heeds_among and bool(np.count_nonzero(some) < some.size * _SMALL)

    def before(self, reached: Words, white: bool, out: Words, pawns: bool = True, among: Words | None = None) -> Words:
        """Add to `out` the placements from which one quiet move of a side leads into `reached`.

        Parameters
        ----------
        reached : set of positions after the move; must lie within `placement.apart`
        white : the side that moved
        out : set, changed in place; the caller masks it to legal positions
        pawns : whether pawn moves count too (double steps pay no heed to en passant here)
        among : where given, what is added outside it does not matter
        """
        if white:
            self._white_king(reached, out, among)
        else:
            self._black_king(reached, out, among)
        for axis, (man, colour) in enumerate(self.placement.men):
            if colour != white:
                continue
            if man != "P":
                self._man(reached, axis, out, among)
            elif pawns:
                self.pawn_step(reached, axis, out)
                if self.placement.ranks == PAWN_RANKS:
                    self.double_step(self.landed(reached, axis), axis, out)
        return out

    def _man(self, reached: Words, axis: int, out: Words, among: Words | None) -> None:
        man = self.placement.men[axis][0]
        if man == "N":
            self._leaper(reached, axis, out)
        else:
            self._slider(reached, axis, geo.RAYS_OF[man], out)

    def pawn_step(self, reached: Words, axis: int, out: Words) -> None:
        """Add the placements from which a single pawn step, not promoting, leads into `reached`."""
        source, target = self._board(reached, axis), self._board(out, axis)
        near, far = slice(0, self.placement.ranks - 1), slice(1, self.placement.ranks)
        here, there = (near, far) if self.placement.men[axis][1] else (far, near)

        def step(part: tuple[slice, ...], hand: int) -> None:
            target[part][:, here] |= source[part][:, there]

        self._parted(axis, step)

    def landed(self, reached: Words, axis: int) -> Words:
        """View the part of a set in which a pawn may have made a double step: eight squares on its axis."""
        rank = 2 if self.placement.men[axis][1] else 3
        return reached[(slice(None),) * axis + (slice(8 * rank, 8 * rank + 8),)]

    def double_step(self, landed: Words, axis: int, out: Words) -> None:
        """Add the placements from which a pawn's double step leads into a part of a set; see `landed`."""
        target, free = self._board(out, axis), self._board(self.placement.apart, axis)
        before, passed = (0, 1) if self.placement.men[axis][1] else (5, 4)
        target[:, before] |= landed.reshape(target[:, before].shape) & free[:, passed]

    def _leaper(self, reached: Words, axis: int, out: Words) -> None:
        source, target = self._board(reached, axis), self._board(out, axis)

        def leap(part: tuple[slice, ...], hand: int) -> None:
            from_, to = source[part], target[part]
            for rank_step, file_step in geo.LEAPS:
                from_rank, to_rank = cut(8, rank_step)
                from_file, to_file = cut(8, file_step)
                to[:, from_rank, from_file] |= from_[:, to_rank, to_file]

        self._parted(axis, leap)

    def _slider(self, reached: Words, axis: int, directions: tuple[tuple[int, int], ...], out: Words) -> None:
        """Add the placements before a slider's move along any of its rays."""
        source, target = self._board(reached, axis), self._board(out, axis)
        if source.shape[-1] < _NEAR_WORDS and source.shape[0] > 1:
            self._slider_turned(source, axis, directions, target)
            return
        free = self._board(self.placement.apart, axis)

        def slide(part: tuple[slice, ...], hand: int) -> None:
            from_ = source[part]
            _rays(from_, free[part], directions, target[part], self._room(hand, 0, from_.shape))

        self._parted(axis, slide)

    def _slider_turned(self, source: Words, axis: int, directions: tuple[tuple[int, int], ...], target: Words) -> None:
        """Do the same with the squares of the man, and what comes after, in front of what comes before."""
        if axis not in self._turned_apart:
            free = self._board(self.placement.apart, axis)
            self._turned_apart[axis] = np.ascontiguousarray(free.transpose(1, 2, 3, 0))
        apart = self._turned_apart[axis]

        def slide(part: tuple[slice, ...], hand: int) -> None:
            before = part[0]
            turned = target[before].transpose(1, 2, 3, 0)
            from_, to, swept = (self._room(hand, number, turned.shape)[None] for number in range(3))
            np.copyto(from_[0], source[before].transpose(1, 2, 3, 0))
            to[:] = 0
            _rays(from_, apart[None, ..., before], directions, to, swept)
            turned |= to[0]

        self._parted(axis, slide, least=_TURNED)

    def _white_king(self, reached: Words, out: Words, among: Words | None) -> None:
        homes = len(self.placement.reduction.home)
        flat, goal = reached.reshape(-1, homes), out.reshape(-1, homes)
        if self._files and not is_large(self._words):
            busy = np.flatnonzero(np.bitwise_or.reduce(flat, axis=1))
            if len(busy) < len(flat) * _FEW_COLUMNS:
                self._king_on_few(flat, goal, busy)
                return
        columns = parts_of(len(flat), self._words)

        def by_king(part: slice, hand: int) -> None:
            np.copyto(self._by_king[:, part], flat[part].T)

        self._crew.each(columns, by_king)
        step = self._king_on_files() if self._files else self._king_at_home()

        def move(part: slice, hand: int) -> None:
            size = part.stop - part.start
            room, turned = self._room(hand, 0, (homes, size)), self._room(hand, 1, (size, homes))
            step(room, part)
            np.copyto(turned, room.T)
            into = goal[part]
            into |= turned

        self._crew.each(columns, move)

    def _king_on_files(self) -> Callable[[Words, slice], None]:
        """Return what writes the words next to those of the king's whole files: beside them, then above and below."""
        files, shape = self._files, self.placement.shape[:-1]
        boards = self._by_king.reshape(8, files, -1)
        beyond = None  # the file after the last one is its mirror image
        if files < 8:
            last = np.ascontiguousarray(boards[:, -1]).reshape(8, *shape)
            beyond = mirror(last, self.placement.king_axis, (True, False, False)).reshape(8, -1)

        def step(room: Words, part: slice) -> None:
            here, row = boards[:, :, part], room.reshape(8, files, -1)
            row[:, :-1] = here[:, 1:]
            row[:, -1] = 0 if beyond is None else beyond[:, part]
            row[:, 1:] |= here[:, :-1]
            here |= row
            _add_above_and_below(row, here)

        return step

    def _king_on_few(self, flat: Words, goal: Words, busy: NDArray[np.intp]) -> None:
        """Do the same where few placements of the men hold anything; shapes (any, king), numbers of placements.

        What comes from beyond the last file goes to their mirror images.
        """
        files = self._files
        here = np.ascontiguousarray(flat[busy].T).reshape(8, files, len(busy))
        row = np.empty_like(here)
        row[:, :-1] = here[:, 1:]
        row[:, -1] = 0
        row[:, 1:] |= here[:, :-1]
        beyond = here[:, -1].copy()
        here |= row
        _add_above_and_below(row, here)
        goal[busy] |= row.reshape(8 * files, len(busy)).T
        if files < 8:
            mirror_files_of_bits(beyond)
            row = beyond.copy()
            _add_above_and_below(row, beyond)
            goal.reshape(len(goal), 8, files)[self._across[busy], :, -1] |= row.T

    @cached_property
    def _across(self) -> NDArray[np.intp]:
        """For each placement of the men the one with left and right exchanged."""
        shape = self.placement.shape[:-1]
        boards = np.arange(prod(shape)).reshape(*(n for size in shape for n in (size // 8, 8)))
        return np.flip(boards, axis=tuple(range(1, 2 * len(shape), 2))).reshape(-1)

    def _king_at_home(self) -> Callable[[Words, slice], None]:
        """Return what writes the words next to those of the home squares, from square to square."""
        reduction = self.placement.reduction
        slabs = {square: self._by_king[number] for number, square in enumerate(reduction.home)}
        self._bring_home(slabs)

        def step(room: Words, part: slice) -> None:
            for row, neighbours in zip(room, reduction.neighbours, strict=True):
                np.bitwise_or(slabs[neighbours[0]][part], slabs[neighbours[1]][part], out=row)
                for square in neighbours[2:]:
                    row |= slabs[square][part]

        return step

    def _bring_home(self, slabs: dict[int, Words]) -> None:
        """Add the slabs of the squares next to the home squares: mirror images of others."""
        placement, king_class = self.placement, self.placement.reduction.king_class

        def turn(part: tuple[Mirrors, list[int], list[Words]], hand: int) -> None:
            mirrors, squares, sources = part
            several = np.stack(sources).reshape(-1, *placement.shape[:-1])
            turned = mirror(several, placement.king_axis, mirrors).reshape(len(squares), -1)
            slabs.update(zip(squares, turned, strict=True))

        def turn_all(mirrors: Mirrors, squares: list[int], sources: list[Words]) -> None:
            if is_large(self._words):
                self._crew.each([(mirrors, [at], [of]) for at, of in zip(squares, sources, strict=True)], turn)
            elif squares:
                turn((mirrors, squares, sources), 0)

        for mirrors, squares in self._strangers.items():
            turn_all(mirrors, squares, [self._by_king[king_class[square]] for square in squares])
        turn_all((False, True, False), self._above, [slabs[square ^ 56] for square in self._above])

    def _black_king(self, reached: Words, out: Words, among: Words | None) -> None:
        flat, goal = reached.reshape(-1), out.reshape(-1)

        def move(part: slice, hand: int) -> None:
            for start in range(part.start, part.stop, _CHUNK_WORDS):
                here = slice(start, min(start + _CHUNK_WORDS, part.stop))
                _king_bits(flat[here], goal[here])

        self._crew.each(parts_of(flat.size, self._words), move)


def _add_above_and_below(row: Words, here: Words) -> None:
    """Add to each rank, the first axis, what is on the ranks next to it."""
    row[1:] |= here[:-1]
    row[:-1] |= here[1:]


def _rays(source: Words, free: Words, directions: tuple[tuple[int, int], ...], target: Words, swept: Words) -> None:
    """Add to boards what a slider reaches them from; shapes (before, 8, 8, after), `swept` is scratch space."""
    for direction in directions:
        edges, ((here, there), *steps) = sweep(direction)
        for edge in edges:
            swept[edge] = 0
        swept[here] = source[there]
        for here, there in steps:
            passed = np.bitwise_and(swept[there], free[there], out=swept[here])
            passed |= source[there]
        target |= swept


def _king_bits(part: Words, into: Words) -> None:
    """Add the squares next to those of the black king."""
    row = (part & _NOT_A) >> _ONE
    other = part & _NOT_H
    other <<= _ONE
    row |= other
    into |= row
    row |= part
    np.left_shift(row, _EIGHT, out=other)
    into |= other
    row >>= _EIGHT
    into |= row
