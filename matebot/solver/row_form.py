"""The form in which the large rows of five men are packed: what can be told otherwise is left out or made to pack well.

A row holds the codes of all placements of the men, with a side to move and the kings in their places. Men that are
alike may change places, so only placements with their squares ascending are kept. Whether a placement is a position
follows from the squares, so where it is none the code before it stands once more.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import ILLEGAL, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.material import Material

_Truth = NDArray[np.bool_]


class RowForm:
    """Makes the rows of one ending short, and whole again.

    Attributes
    ----------
    size : codes of a short row
    """

    def __init__(self, material: Material) -> None:
        self._men = material.men
        self._at = [squares_of(man) for man, _ in material.men]
        self._shape = tuple(len(squares) for squares in self._at)
        self._kept, self._place = _placements(self._shape, material.alike)
        self.size = len(self._kept)

    def short(self, row: Codes) -> Codes:
        """Return what is kept of a row that holds some position."""
        codes = row.reshape(-1)
        if self.size < codes.size:
            codes = codes[self._kept]
        last = np.where(codes != ILLEGAL, np.arange(self.size, dtype=np.int32), 0)
        return codes.take(np.maximum.accumulate(last, out=last))

    def whole(self, short: Codes, white_to_move: bool, white_king: int, black_king: int) -> Codes:
        """Return a row again; the kings' squares are those it was made with."""
        row = short.take(self._place) if self.size < len(self._place) else short.copy()
        none = self._no_positions(white_to_move, white_king, black_king).view(np.uint8).reshape(-1)
        row |= np.negative(none)  # 1 becomes `ILLEGAL`
        return row

    def _no_positions(self, white_to_move: bool, white_king: int, black_king: int) -> _Truth:
        """Tell where two men share a square, or the side that has moved is in check."""
        king, blocker = (black_king, white_king) if white_to_move else (white_king, black_king)
        single = [(squares == white_king) | (squares == black_king) for squares in self._at]
        checks = []
        for axis, (man, white) in enumerate(self._men):
            if white == white_to_move:
                attacks = geo.has_bit(geo.attacks(man, white), np.array(king))  # by his square and one in between
                alone = attacks[self._at[axis], blocker]
                if man in geo.RAYS_OF:
                    checks.append((axis, attacks, alone))
                else:
                    single[axis] |= alone
        found = self._shared(single)
        for axis, attacks, alone in checks:
            found |= self._open(axis, attacks, alone)
        return found

    def _shared(self, single: list[_Truth]) -> _Truth:
        """Tell where two men share a square, or a man stands where he may not, told for each alone."""
        found = np.broadcast_to(self._lay(single[0], 0), self._shape).copy()
        for other, axis in combinations(range(len(self._at)), 2):
            pair = self._at[other][:, None] == self._at[axis]
            if other == 0:
                pair |= single[axis]
            found |= self._lay(pair, other, axis)
        return found

    def _open(self, axis: int, attacks: _Truth, alone: _Truth) -> _Truth:
        """Tell where a man on a line gives check, nobody standing in between."""
        squares, found = self._at[axis], self._lay(alone, axis)
        for other, between in enumerate(self._at):
            if other != axis:
                both = attacks[np.ix_(squares, between)]
                found = found & self._lay(both if axis < other else both.T, *sorted((axis, other)))
        return found

    def _lay(self, truth: _Truth, *axes: int) -> _Truth:
        """Lay truth values along axes, ascending, so that they broadcast on the others."""
        return truth.reshape([size if axis in axes else 1 for axis, size in enumerate(self._shape)])


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
