"""Moves without capture or promotion, run backwards: from a set of positions to those one move before it.

A man on an array axis moves by shifted slices, the black king by shifted bits. A slider sweeps each ray once,
from its far end: ``swept[s] = reached[s + d] | (swept[s + d] & apart[s + d])``, a whole rank or file at a time::

    a rook's ray to the right, one rank:   reached  . . . . . X . .
                                           swept    X X X X X . . .   (nobody in the way)
"""

from __future__ import annotations

from math import prod

import numpy as np

from matebot.solver import geometry as geo
from matebot.solver.geometry import Words, cut, sweep
from matebot.solver.placement import Placement
from matebot.solver.symmetry import Mirrors, Reduction, mirror

_NOT_A = np.uint64(0xFEFE_FEFE_FEFE_FEFE)
_NOT_H = np.uint64(0x7F7F_7F7F_7F7F_7F7F)
_ONE, _EIGHT = np.uint64(1), np.uint64(8)
_CHUNK_WORDS = 1 << 15


def _strangers(reduction: Reduction) -> dict[Mirrors, list[int]]:
    """Squares next to the home squares but not among them, by the mirrors that bring them home."""
    found: dict[Mirrors, list[int]] = {}
    for square in sorted({t for around in reduction.neighbours for t in around} - set(reduction.home)):
        found.setdefault(reduction.mirrors[square], []).append(square)
    return found


class Moves:
    """Backward moves of one ending; keeps scratch space, so use it from one thread at a time."""

    def __init__(self, placement: Placement) -> None:
        self.placement = placement
        self.scratch = np.empty(placement.shape, dtype=np.uint64)
        men_shape = (len(placement.reduction.home), prod(placement.shape[:-1]))
        self.by_king, self.moved = (
            np.empty(men_shape, dtype=np.uint64),
            np.empty(men_shape, dtype=np.uint64),
        )
        self.strangers = _strangers(placement.reduction)
        self.apart_boards = [self._board(placement.apart, axis) for axis in range(placement.king_axis)]

    def _board(self, array: Words, axis: int) -> Words:
        """View one man's axis as (rank, file): shape (before, ranks, 8, after)."""
        shape = self.placement.shape
        return array.reshape(prod(shape[:axis]), shape[axis] // 8, 8, -1)

    def before(self, reached: Words, white: bool, out: Words, pawns: bool = True) -> Words:
        """Add to `out` the placements from which one quiet move of a side leads into `reached`.

        Parameters
        ----------
        reached : set of positions after the move; must lie within `placement.apart`
        white : the side that moved
        out : set, changed in place; the caller masks it to legal positions
        pawns : whether pawn moves count too (double steps pay no heed to en passant here)
        """
        if white:
            self._white_king(reached, out)
        else:
            self._black_king(reached, out)
        for axis, (man, colour) in enumerate(self.placement.men):
            if colour != white:
                continue
            if man == "N":
                self._leaper(reached, axis, out)
            elif man == "P":
                if pawns:
                    self.pawn_step(reached, axis, out)
                    self.double_step(self.landed(reached, axis), axis, out)
            else:
                for direction in geo.RAYS_OF[man]:
                    self._ray(reached, axis, direction, out)
        return out

    def pawn_step(self, reached: Words, axis: int, out: Words) -> None:
        """Add the placements from which a single pawn step, not promoting, leads into `reached`."""
        source, target = self._board(reached, axis), self._board(out, axis)
        if self.placement.men[axis][1]:
            target[:, 0:5] |= source[:, 1:6]
        else:
            target[:, 1:6] |= source[:, 0:5]

    def landed(self, reached: Words, axis: int) -> Words:
        """View the part of a set in which a pawn may have made a double step: eight squares on its axis."""
        rank = 2 if self.placement.men[axis][1] else 3
        return reached[(slice(None),) * axis + (slice(8 * rank, 8 * rank + 8),)]

    def double_step(self, landed: Words, axis: int, out: Words) -> None:
        """Add the placements from which a pawn's double step leads into a part of a set; see `landed`."""
        target, free = self._board(out, axis), self.apart_boards[axis]
        before, passed = (0, 1) if self.placement.men[axis][1] else (5, 4)
        target[:, before] |= landed.reshape(target[:, before].shape) & free[:, passed]

    def _leaper(self, reached: Words, axis: int, out: Words) -> None:
        source, target = self._board(reached, axis), self._board(out, axis)
        for rank_step, file_step in geo.LEAPS:
            from_rank, to_rank = cut(8, rank_step)
            from_file, to_file = cut(8, file_step)
            target[:, from_rank, from_file] |= source[:, to_rank, to_file]

    def _ray(self, reached: Words, axis: int, direction: tuple[int, int], out: Words) -> None:
        source, target, free = (
            self._board(reached, axis),
            self._board(out, axis),
            self.apart_boards[axis],
        )
        swept = self._board(self.scratch, axis)
        for number, (here, there, entered) in enumerate(sweep(direction)):
            if number:
                if entered is not None:
                    swept[entered] = 0
                passed = np.bitwise_and(swept[there], free[there], out=swept[here])
                passed |= source[there]
            else:
                swept[here] = source[there]
            target[here] |= swept[here]

    def _white_king(self, reached: Words, out: Words) -> None:
        reduction, kings = self.placement.reduction, len(self.placement.reduction.home)
        np.copyto(self.by_king, reached.reshape(-1, kings).T)
        slabs = {h: self.by_king[i] for i, h in enumerate(reduction.home)}
        for mirrors, squares in self.strangers.items():
            classes = [reduction.king_class[s] for s in squares]
            several = self.by_king[classes].reshape(len(squares), *self.placement.shape[:-1])
            turned = mirror(several, self.placement.king_axis, mirrors).reshape(len(squares), -1)
            slabs.update(zip(squares, turned, strict=True))
        for row, neighbours in zip(self.moved, reduction.neighbours, strict=True):
            np.bitwise_or(slabs[neighbours[0]], slabs[neighbours[1]], out=row)
            for square in neighbours[2:]:
                row |= slabs[square]
        goal = out.reshape(-1, kings)
        goal |= self.moved.T

    def _black_king(self, reached: Words, out: Words) -> None:
        flat, goal = reached.reshape(-1), out.reshape(-1)
        for start in range(0, flat.size, _CHUNK_WORDS):
            part = flat[start : start + _CHUNK_WORDS]
            row = (part & _NOT_A) >> _ONE
            other = part & _NOT_H
            other <<= _ONE
            row |= other
            into = goal[start : start + _CHUNK_WORDS]
            into |= row
            row |= part
            np.left_shift(row, _EIGHT, out=other)
            into |= other
            row >>= _EIGHT
            into |= row
