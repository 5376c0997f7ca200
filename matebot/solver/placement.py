"""Where the men of one ending stand: axes, occupation, checks and legality as sets of positions.

A *set* is a ``uint64`` array with one axis for each man beside the kings, in the order of ``Material.men`` (64
squares, 48 for a pawn), and a last axis for the white king (its home squares, see `symmetry`); the 64 bits of a word
are the squares of the black king. King, bishop and knight against king is ``(64, 64, 10)``: 320 KiB a set.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import PAWN_RANKS, squares_at
from matebot.solver.geometry import Words
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION, Reduction


class Placement:
    """Axes and constant sets of one ending.

    Parameters
    ----------
    ranks : the ranks before promotion, so many, on which every pawn stands

    Attributes
    ----------
    at : for each axis, the squares it runs over
    shape : shape of a set
    apart : set of placements with every man on a square of its own
    legal : ``legal[white]`` is the set of legal positions with that side to move
    in_check : ``in_check[white]``, that side's king is attacked (regardless of the side to move)
    """

    def __init__(self, material: Material, reduction: Reduction | None = None, ranks: int = PAWN_RANKS) -> None:
        self.material = material
        self.men = material.men
        self.reduction = reduction or REDUCTION[material.has_pawns]
        self.king_axis = len(self.men)
        self.ranks = ranks
        self.at: list[NDArray[np.intp]] = [squares_at(man, white, ranks) for man, white in self.men]
        self.at.append(np.array(self.reduction.home))
        self.shape = tuple(len(squares) for squares in self.at)
        self.apart = self._apart()
        self.in_check = {False: self._black_in_check(), True: self._white_in_check()}
        self.legal = {
            True: self.apart & ~self.in_check[False],
            False: self.apart & ~self.in_check[True],
        }

    def empty(self) -> Words:
        """Return a new empty set."""
        return np.zeros(self.shape, dtype=np.uint64)

    def lay(self, values: Words, *axes: int) -> Words:
        """Lay an array over axes of a set, so that it broadcasts on the others.

        Parameters
        ----------
        values : one dimension of 64 squares, or just the axis's squares, for each axis named
        """
        for number, (size, axis) in enumerate(zip(values.shape, axes, strict=True)):
            if size != self.shape[axis]:
                values = values[(slice(None),) * number + (self.among_all(axis),)]
        shape = [1] * len(self.shape)
        for axis in axes:
            shape[axis] = self.shape[axis]
        return values.transpose(np.argsort(axes)).reshape(shape)

    def among_all(self, axis: int) -> slice | NDArray[np.intp]:
        """Return which of all squares those of an axis are: a slice where they follow each other, to copy nothing."""
        at = self.at[axis]
        return slice(int(at[0]), int(at[-1]) + 1) if at[-1] - at[0] == len(at) - 1 else at

    def squares(self, axis: int) -> Words:
        """Return the squares of one man laid along its axis."""
        return self.lay(self.at[axis].astype(np.uint64), axis)

    def fire(self, axis: int, but: int | None = None) -> Words:
        """Attack masks of a man, every man on an axis (except `but`) a blocker; broadcasts to a set."""
        man, white = self.men[axis]
        table = geo.attacks(man, white)
        if man not in geo.RAYS_OF:
            return self.lay(table[:, 0], axis)
        masks = self.lay(np.bitwise_or.reduce(table, axis=1), axis)
        for blocker in range(self.king_axis + 1):
            if blocker not in (axis, but):
                masks = masks & self.lay(table, axis, blocker)
        return masks

    def hits(self, axis: int, target: int) -> Words:
        """Tell where a man attacks the man (or white king) on another axis: bits of the black king.

        The black king's square is a blocker between the two like any other man's.
        """
        struck = geo.fill(geo.has_bit(self.fire(axis, but=target), self.squares(target)))
        if self.men[axis][0] in geo.RAYS_OF:
            struck = struck & ~self.lay(geo.BETWEEN, axis, target)
        return struck

    def _apart(self) -> Words:
        together = self.empty()
        same = geo.fill(np.eye(64, dtype=np.bool_))
        for axis in range(self.king_axis + 1):
            together |= self.lay(geo.BIT, axis)
            for other in range(axis):
                together |= self.lay(same, axis, other)
        return np.invert(together, out=together)

    def _black_in_check(self) -> Words:
        found = self.empty()
        found |= self.lay(geo.KING, self.king_axis)
        for axis, (_, white) in enumerate(self.men):
            if white:
                found |= self.fire(axis)
        return found

    def _white_in_check(self) -> Words:
        found = self.empty()
        found |= self.lay(geo.KING, self.king_axis)
        for axis, (_, white) in enumerate(self.men):
            if not white:
                found |= self.hits(axis, self.king_axis)
        return found
