"""The form in which the large rows of five men are packed: what can be told otherwise is left out or made to pack well.

A row holds the codes of all placements of the men, with a side to move and the kings in their places. Men that are
alike may change places, so only placements with their squares ascending are kept. Whether a placement is a position
follows from the squares, so where it is none the code before it stands once more. How well codes pack depends on which
man's squares follow each other: that is the *order*, chosen for each ending by measurement (`parting`). A bishop's
squares of one colour come together. A row is packed in parts, by the squares of the man that is first in the order, so
that who wants to know a few codes need not unpack all of it.
"""

from __future__ import annotations

from array import array
from functools import cache, cached_property
from itertools import combinations, permutations
from math import comb, prod
from typing import Final, cast

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import ILLEGAL, squares_of
from matebot.solver.crew import can_compile
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.seeing import BETWEEN, SEES

_Truth = NDArray[np.bool_]
Squares = NDArray[np.intp]

#: The parts of a row in files of the older versions, which keep to the order of the material and of the board.
OLDER_PARTS: Final = 8
#: By square, where it goes when files and ranks are exchanged.
EXCHANGED: Final = np.arange(64).reshape(8, 8).T.ravel()
#: There are compiled loops for rows of so many men beside the kings.
_MEN_COMPILED: Final = 3
#: By two squares, those that the second hides from the first.
_BEHIND: Final = np.bitwise_or.reduce(
    np.where(geo.has_bit(geo.BETWEEN[:, :, None], np.arange(64)), geo.BIT[None, :, None], geo.ZERO), axis=1
)


class RowForm:
    """Makes the rows of one ending short, and whole again.

    Parameters
    ----------
    order : which of `orders` the men stand in, None for that of the older files
    parts : in how many a row is packed

    Attributes
    ----------
    men : beside the kings
    parts : see above
    size : codes of a short row
    bounds : where its parts begin, and its end
    places : codes of a whole row
    """

    def __init__(self, material: Material, order: int | None, parts: int) -> None:
        self._men, self.men, self.parts = material.men, len(material.men), parts
        self._at = [squares_of(man) for man, _ in material.men]
        self._shape = tuple(len(squares) for squares in self._at)
        self.places = prod(self._shape)
        #: Men that are alike together, as they stand in the order.
        self._groups = orders(material)[order or 0]
        self.size = prod(comb(len(self._at[group[0]]), len(group)) for group in self._groups)
        ranks = [_ranks(material.men[group[0]][0], len(group), order is not None) for group in self._groups]
        strides = [prod(int(rank.max()) + 1 for rank in ranks[n:]) for n in range(1, len(ranks) + 1)]
        self._ranks = [rank * stride for rank, stride in zip(ranks, strides, strict=True)]
        #: Of each man, the last first: his number, his squares and the first of them.
        self._digits = [(n, len(at), int(at[0])) for n, at in reversed(list(enumerate(self._at)))]
        #: By the side to move: the men that must not give check, and what they see.
        self._checking = {
            side: [(n, SEES[man, white]) for n, (man, white) in enumerate(self._men) if white == side]
            for side in (True, False)
        }
        if order is None:  # parts by the squares of the first man, not all of one size where another is like him
            bounds = np.searchsorted(self._kept, np.arange(parts + 1) * (self.places // parts))
        else:
            bounds = np.arange(parts + 1) * self.size // parts
        self.bounds: list[int] = bounds.tolist()

    @cached_property
    def _open(self) -> dict[bool, list[tuple[int, Words]]]:
        """As `_checking`, for many placements."""
        return {
            side: [(n, geo.open_board(man, white)) for n, (man, white) in enumerate(self._men) if white == side]
            for side in (True, False)
        }

    @cached_property
    def _tables(self) -> dict[bool, list[tuple[tuple[int, ...], array[int]]]]:
        """By whether files and ranks are exchanged: of each group its men, and their share of a place by squares.

        The squares of two men, or of three, make one number with six bits for each.
        """
        found: dict[bool, list[tuple[tuple[int, ...], array[int]]]] = {True: [], False: []}
        for exchanged in (False, True) if self.places == 64**self.men else (False,):
            for group, rank in zip(self._groups, self._ranks, strict=True):
                table = np.zeros([64] * len(group), np.int32)
                table[np.ix_(*[self._at[n] for n in group])] = rank
                if exchanged:
                    table = table[np.ix_(*[EXCHANGED] * len(group))]
                found[exchanged].append((group, array("i", table.ravel().tolist())))
        return found

    @cached_property
    def _place(self) -> NDArray[np.int32]:
        """For each place in a row, where in a short one its code is; any where two men share a square."""
        found = np.zeros(self._shape, np.int32)
        for group, rank in zip(self._groups, self._ranks, strict=True):
            found += rank.reshape([size if n in group else 1 for n, size in enumerate(self._shape)])
        return found.reshape(-1)

    @cached_property
    def _kept(self) -> NDArray[np.intp]:
        """The places in a row whose codes are kept, in their order."""
        squares = np.indices(self._shape).reshape(self.men, -1)
        kept = np.ones(self.places, np.bool_)
        for group in self._groups:
            kept &= (np.diff(squares[list(group)], axis=0) > 0).all(axis=0)
        places = np.flatnonzero(kept)
        return places[np.argsort(self._place[places])]

    def short(self, row: Codes) -> Codes:
        """Return what is kept of a row that holds some position."""
        codes = row.reshape(-1)
        if can_compile():
            from matebot.solver.row_kernels import fill_gaps

            found = np.empty(self.size, np.uint8)
            fill_gaps(codes, self._kept, found)
            return found
        codes = codes[self._kept]
        last = np.where(codes != ILLEGAL, np.arange(self.size, dtype=np.int32), 0)
        return codes.take(np.maximum.accumulate(last, out=last))

    def whole(self, short: Codes, white_to_move: bool, white_king: int, black_king: int) -> Codes:
        """Return a row again; the kings' squares are those it was made with."""
        row = short.take(self._place)
        row |= _no_positions(self._men, self._at, white_to_move, white_king, black_king)
        return row

    def written(self, short: Codes, white_to_move: bool, white_king: int, black_king: int, out: Codes) -> None:
        """Write the same into a row: for many rows, by a compiled loop where there is one."""
        if self.men != _MEN_COMPILED or not can_compile():
            out[:] = self.whole(short, white_to_move, white_king, black_king)
            return
        from matebot.solver.row_kernels import lengthen  # takes a while, so not before it is needed

        king, other = (black_king, white_king) if white_to_move else (white_king, black_king)
        checking, behind = np.zeros(self.men, np.uint64), _BEHIND[king]
        for number, seen in self._checking[white_to_move]:
            checking[number] = sum(1 << at for at in range(64) if seen[at] >> king & 1)
        checking &= ~behind[other]
        kings = geo.BIT[white_king] | geo.BIT[black_king]
        sizes = cast("tuple[int, int, int]", self._shape)
        first = cast("tuple[int, int, int]", tuple(int(at[0]) for at in self._at))
        lengthen(short, self._place, sizes, first, kings, checking, geo.BETWEEN[king], behind, out)

    def short_place(
        self, place: int, white_to_move: bool, white_king: int, black_king: int, exchanged: bool = False
    ) -> int:
        """Return where in a short row the code of a placement is, less than 0 where the placement is no position.

        `exchanged` tells that the row is kept with files and ranks exchanged.
        """
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
        found = 0
        for group, table in self._tables[exchanged]:
            key = 0
            for number in group:
                key = key << 6 | squares[number]
            found += table[key]
        return found

    def short_places(
        self, places: Squares, white_to_move: bool, white_king: int, black_king: int, exchanged: bool = False
    ) -> Squares:
        """Return the same for many placements at once."""
        squares = [at[n] for at, n in zip(self._at, np.unravel_index(places, self._shape), strict=True)]
        bits = [geo.BIT[one] for one in squares]
        occupied = np.full(len(places), geo.BIT[white_king] | geo.BIT[black_king])
        none = np.zeros(len(places), np.bool_)
        for bit in bits:
            none |= (occupied & bit) != 0
            occupied |= bit
        king = black_king if white_to_move else white_king
        for number, seen in self._open[white_to_move]:
            square = squares[number]
            none |= (seen[square] & geo.BIT[king] != 0) & (geo.BETWEEN[square, king] & occupied == 0)
        if exchanged:
            squares = [EXCHANGED[one] for one in squares]
        found = np.zeros(len(places), np.intp)
        for group, rank in zip(self._groups, self._ranks, strict=True):
            found += rank[tuple(squares[n] - self._at[n][0] for n in group)]
        found[none] = -1
        return found


def exchanged_row(row: Codes, men: int) -> Codes:
    """Return a whole row of an ending without pawns with files and ranks exchanged for all men."""
    boards = row.reshape((8, 8) * men)
    turned = boards.transpose([axis for man in range(men) for axis in (2 * man + 1, 2 * man)])
    return np.ascontiguousarray(turned).reshape(-1)


@cache
def orders(material: Material) -> list[tuple[tuple[int, ...], ...]]:
    """Return the orders the men may stand in; men that are alike stay together."""
    alike = [tuple(range(part.start, part.stop)) for part in material.alike]
    single = [(n,) for n in range(len(material.men)) if not any(n in group for group in alike)]
    return list(permutations(sorted([*alike, *single])))


@cache
def _ranks(man: str, count: int, by_colour: bool) -> NDArray[np.int32]:
    """Return the number of each choice of squares for so many men that are alike, an axis a man; 0 where they share."""
    squares = squares_of(man)
    size, digits = len(squares), np.arange(len(squares))
    if by_colour and man == "B":
        colour = (squares // 8 + squares) % 2
        digits = np.argsort(np.argsort(colour, kind="stable"))
    if count == 1:
        return digits.astype(np.int32)
    found = np.zeros([size] * count, np.int32)
    chosen = np.array(list(combinations(range(size), count))).T
    where = np.argsort(digits)  # the square that has a digit
    for turn in permutations(range(count)):
        found[tuple(where[chosen[n]] for n in turn)] = np.arange(chosen.shape[1])
    return found


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


@cache
def row_form(material: Material, order: int | None, parts: int) -> RowForm:
    """Return a form of an ending's rows; see `RowForm`."""
    return RowForm(material, order, parts)
