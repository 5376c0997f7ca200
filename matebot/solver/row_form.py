"""The form in which the large rows of five men are packed: what can be told otherwise is left out or made to pack well.

A row holds the codes of all placements of the men, with a side to move and the kings in their places. Men that are
alike may change places, so only placements with their squares ascending are kept. Whether a placement is a position
follows from the squares, so where it is none the code before it stands once more. A row is packed in parts, by the
squares of its first man, so that who wants to know a few codes need not unpack all of it.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations
from math import prod
from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import ILLEGAL, squares_of
from matebot.solver.crew import can_compile
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.seeing import BETWEEN, SEES

_Truth = NDArray[np.bool_]
Squares = NDArray[np.intp]

#: Of a row: each holds an eighth of the first man's squares.
PARTS: Final = 8


class RowForm:
    """Makes the rows of one ending short, and whole again.

    Attributes
    ----------
    men : beside the kings
    size : codes of a short row
    bounds : where its parts begin, and its end
    places : codes of a whole row
    """

    def __init__(self, material: Material) -> None:
        self._men, self.men = material.men, len(material.men)
        self._at = [squares_of(man) for man, _ in material.men]
        shape = tuple(len(squares) for squares in self._at)
        self._kept, self._place = _placements(shape, material.alike)
        self.size, self.places = len(self._kept), prod(shape)
        #: Of each man, the last first: his number, his squares and the first of them.
        self._digits = [(n, len(at), int(at[0])) for n, at in reversed(list(enumerate(self._at)))]
        #: By the side to move: the men that must not give check, and what they see.
        self._checking = {
            side: [(n, SEES[man, white]) for n, (man, white) in enumerate(self._men) if white == side]
            for side in (True, False)
        }
        self.bounds: list[int] = np.searchsorted(self._kept, np.arange(PARTS + 1) * (self.places // PARTS)).tolist()

    def short(self, row: Codes) -> Codes:
        """Return what is kept of a row that holds some position."""
        codes = row.reshape(-1)
        if can_compile():
            from matebot.solver.kernels import fill_gaps

            found = np.empty(self.size, np.uint8)
            fill_gaps(codes, self._kept, found)
            return found
        if self.size < codes.size:
            codes = codes[self._kept]
        last = np.where(codes != ILLEGAL, np.arange(self.size, dtype=np.int32), 0)
        return codes.take(np.maximum.accumulate(last, out=last))

    def whole(self, short: Codes, white_to_move: bool, white_king: int, black_king: int) -> Codes:
        """Return a row again; the kings' squares are those it was made with."""
        row = short.take(self._place) if self.size < len(self._place) else short.copy()
        row |= _no_positions(self._men, self._at, white_to_move, white_king, black_king)
        return row

    def short_place(self, place: int, white_to_move: bool, white_king: int, black_king: int) -> int:
        """Return where in a short row the code of a placement is, less than 0 where the placement is no position."""
        squares, left = [0] * self.men, place
        occupied = 1 << white_king | 1 << black_king
        for number, size, behind in self._digits:
            left, digit = divmod(left, size)
            square = squares[number] = digit + behind
            if occupied >> square & 1:
                return -1
            occupied |= 1 << square
        king = black_king if white_to_move else white_king
        for number, seen in self._checking[white_to_move]:
            square = squares[number]
            if seen[square] >> king & 1 and not BETWEEN[square][king] & occupied:
                return -1
        return place if self.size == self.places else int(self._place[place])


def _no_positions(
    men: tuple[tuple[str, bool], ...], at: list[Squares], white_to_move: bool, white_king: int, black_king: int
) -> Codes:
    """Return `ILLEGAL` where two men share a square, or the side that has moved is in check, else 0."""
    king, blocker = (black_king, white_king) if white_to_move else (white_king, black_king)
    single = [(squares == white_king) | (squares == black_king) for squares in at]
    checks = []
    for axis, (man, white) in enumerate(men):
        if white == white_to_move:
            attacks = _attacks(man, white, king)
            alone = attacks[at[axis], blocker]
            if man in geo.RAYS_OF:
                checks.append((axis, attacks, alone))
            else:
                single[axis] |= alone
    found = _shared(at, single)
    for axis, attacks, alone in checks:
        found |= _open(at, axis, attacks, alone)
    return np.negative(found.view(np.uint8).reshape(-1))  # 1 becomes `ILLEGAL`


@cache
def _attacks(man: str, white: bool, target: int) -> _Truth:
    """Tell by his square and that of the only man in between from where a man attacks a square; not to be changed."""
    return geo.has_bit(geo.attacks(man, white), np.array(target))


def _shared(at: list[Squares], single: list[_Truth]) -> _Truth:
    """Tell where two men share a square, or a man stands where he may not, told for each alone."""
    found = np.broadcast_to(_lay(single[0], len(at), 0), [len(squares) for squares in at]).copy()
    for other, axis in combinations(range(len(at)), 2):
        pair = at[other][:, None] == at[axis]
        if other == 0:
            pair |= single[axis]
        found |= _lay(pair, len(at), other, axis)
    return found


def _open(at: list[Squares], axis: int, attacks: _Truth, alone: _Truth) -> _Truth:
    """Tell where a man on a line gives check, nobody standing in between."""
    found = _lay(alone, len(at), axis)
    for other, between in enumerate(at):
        if other != axis:
            both = attacks[np.ix_(at[axis], between)]
            found = found & _lay(both if axis < other else both.T, len(at), *sorted((axis, other)))
    return found


def _lay(truth: _Truth, men: int, *axes: int) -> _Truth:
    """Lay truth values along axes, ascending, so that they broadcast on the others."""
    sizes = iter(truth.shape)
    return truth.reshape([next(sizes) if axis in axes else 1 for axis in range(men)])


def _placements(shape: tuple[int, ...], alike: tuple[slice, ...]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the places in a row that are kept, and for each place in a row which of them stands for it.

    Placements with two men on a square, which are no positions, are stood for by any.
    """
    squares = np.indices(shape).reshape(len(shape), -1)
    kept = np.ones(squares.shape[1], np.bool_)
    for part in alike:
        kept &= (np.diff(squares[part], axis=0) > 0).all(axis=0)
        squares[part] = np.sort(squares[part], axis=0)
    number = np.cumsum(kept) - 1
    return np.flatnonzero(kept), np.maximum(number[np.ravel_multi_index(tuple(squares), shape)], 0)


@cache
def row_form(material: Material) -> RowForm:
    """Return the form of an ending's rows."""
    return RowForm(material)
