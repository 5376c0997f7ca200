"""The shortest mates in time of every position of an ending, one ply on the clock after the other.

With no ply left only mate stands. With some left, a position is as good as the best of its moves: after a capture or
pawn move the plain distance counts, after any other move the distance with one ply fewer left::

    attack(left)  = least of  1 + plain distance after a zeroing move,  1 + defence(left - 1) after another
    defence(left) = most of   the same with attack(left - 1);  nothing where a move escapes

Pawns stand still meanwhile, so an ending with pawns falls into small ones, one for each placement of the pawns.
Positions that have the winner to move with an even number of plies left never meet those with an odd one, so there are
two chains of layers, each made of the one to its left::

    plies left        0         1         2         3
    one chain      attack <- defence <- attack <- defence
    the other     defence <- attack <- defence <- attack

``attack(0)`` is nowhere, ``defence(0)`` 0 where the loser is mated.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver.batches import Batches, Squares
from matebot.solver.codes import ILLEGAL, MATE_PLIES, NOWHERE, pack, unpack
from matebot.solver.conversions import conversions
from matebot.solver.distances import LeastMoves
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.symmetry import REDUCTION, WHOLE_BOARD

#: Plies to mate of many positions, shape (positions,).
Plies = NDArray[np.int16]
_ONES: Final = np.array([number.bit_count() for number in range(256)], np.uint8)
#: Bytes whose bits are counted anew to find a place among the late mates.
_GROUP = 32
_PLACES: Final = np.arange(_GROUP)


class Ground:
    """What does not depend on the clock: the moves, and what captures and pawn moves lead to.

    Parameters
    ----------
    pawns : the squares of the pawns, in the order of the men
    winner : the side that wins, True for White

    Attributes
    ----------
    illegal : `NOWHERE` where no position is, by side to move, else 0
    leaving : for the winner to move, the least distance by a zeroing move; for the other side the most, `NOWHERE`
        where it is not lost
    mated : 0 where the loser is mated, else `NOWHERE`

    All are distances of shape `moves.shape` (the men, the white king's home squares, the black king), uint8.
    """

    def __init__(
        self,
        material: Material,
        pawns: tuple[int, ...],
        winner: bool,
        table: Callable[[Material, bool], Codes],
        batches: Batches,
    ) -> None:
        self.material, self.pawns, self.winner = material, pawns, winner
        whole = bool(pawns)
        self._reduction = WHOLE_BOARD if whole else REDUCTION[False]
        self._king_class = np.array(self._reduction.king_class)
        self._mapped = np.array([list(row) for row in self._reduction.mapped])
        standing = iter(pawns)
        at = [np.array([next(standing)]) if man == "P" else np.arange(64) for man, _ in material.men]
        self.moves = LeastMoves(material.men, at, self._reduction)
        places = self._places(at) if whole else None
        self.illegal, self.leaving = {}, {}
        for side in (True, False):
            codes = (
                self._codes(table, side) if places is None else batches.codes(places, side).reshape(self.moves.shape)
            )
            self.illegal[side] = (codes == ILLEGAL).view(np.uint8) * np.uint8(NOWHERE)
            distances = MATE_PLIES[winner][side][codes]
            if places is None:
                continue
            self.leaving[side] = self._by_batches(batches, places, distances, side)
            if side != winner:
                self.mated = np.where(distances == 0, 0, NOWHERE).astype(np.uint8)
        if places is None:
            distances = MATE_PLIES[winner][not winner][self._codes(table, not winner)]
            self.mated = np.where(distances == 0, 0, NOWHERE).astype(np.uint8)
            self._by_exits(Placement(material), table, distances)

    def index(self, batch: Squares) -> NDArray[np.int64]:
        """Return the flat places of positions of the ending in the arrays."""
        index = np.zeros(batch.shape[1], np.int64)
        for squares, (man, _) in zip(batch[2:], self.material.men, strict=True):
            index = index if man == "P" else index * 64 + self._mapped[batch[0], squares]
        index = index * len(self._reduction.home) + self._king_class[batch[0]]
        return np.asarray(index * 64 + self._mapped[batch[0], batch[1]])

    def _codes(self, table: Callable[[Material, bool], Codes], side: bool) -> Codes:
        codes = table(self.material, side)
        return np.ascontiguousarray(np.moveaxis(np.moveaxis(codes, 0, -1), 0, -1))

    @property
    def nbytes(self) -> int:
        """Bytes held in memory, about."""
        return 8 * self.mated.nbytes

    @staticmethod
    def _places(at: list[NDArray[np.intp]]) -> NDArray[np.int64]:
        grid = np.meshgrid(*at, np.arange(64), np.arange(64), indexing="ij")
        *men, white_king, black_king = (squares.reshape(-1).astype(np.int64) for squares in grid)
        return np.stack([white_king, black_king, *men])

    def _by_batches(self, batches: Batches, places: NDArray[np.int64], distances: Codes, side: bool) -> Codes:
        """Return what zeroing moves lead to, position by position, where the winner wins without a clock."""
        attacks = side == self.winner
        won = np.flatnonzero(distances.reshape(-1) != NOWHERE)
        codes, parents = batches.zeroing(places[:, won], side)
        reached = _deeper(MATE_PLIES[self.winner][not side][codes])
        worth = np.full(len(won), NOWHERE if attacks else 0, np.uint8)
        (np.minimum if attacks else np.maximum).at(worth, parents, reached)
        found = np.full(distances.size, NOWHERE, np.uint8)
        found[won] = worth
        return found.reshape(distances.shape)

    def _by_exits(self, placement: Placement, table: Callable[[Material, bool], Codes], lost: Codes) -> None:
        """Set what captures lead to, set by set of equal distances; `lost` holds the loser's plain distances."""
        leaving = {
            side: np.full(self.moves.shape, NOWHERE if side == self.winner else 0, np.uint8) for side in (True, False)
        }
        leaving[not self.winner][lost == NOWHERE] = NOWHERE
        for exit_ in conversions(placement, table):
            plies = MATE_PLIES[self.winner][not exit_.white][exit_.codes]
            into = leaving[exit_.white]
            choose = np.minimum if exit_.white == self.winner else np.maximum
            for distance in np.flatnonzero(np.bincount(plies.reshape(-1), minlength=256)[:NOWHERE]).tolist():
                reached = unpack(exit_.spread(pack(plies == distance))).view(np.bool_)
                choose(into, np.uint8(distance + 1), out=into, where=reached)
            if exit_.white != self.winner:
                into[unpack(exit_.spread(pack((plies == NOWHERE) & (exit_.codes != ILLEGAL)))).view(np.bool_)] = NOWHERE
        self.leaving = leaving


class _Layer:
    """One layer: the distances beyond the plies left, where there is a mate; everything else the plain values tell.

    Few places have one, so a bit for each place tells whether, shape (groups, 32), uint8; the distances themselves,
    uint8, stand one after the other, and `_before`, int32, counts those before each group of 256 places.
    """

    def __init__(self, distances: Codes, left: int) -> None:
        flat = distances.reshape(-1)
        late = (flat > left) & (flat != NOWHERE)
        bits = np.packbits(late, bitorder="little")
        self._bits = np.concatenate([bits, np.zeros(-len(bits) % _GROUP, np.uint8)]).reshape(-1, _GROUP)
        totals = _ONES[self._bits].sum(axis=1, dtype=np.int64)
        self._before = (np.cumsum(totals) - totals).astype(np.int32)
        self._values = flat[late]

    @property
    def nbytes(self) -> int:
        """Bytes held in memory."""
        return sum(a.nbytes for a in (self._bits, self._before, self._values))

    def read(self, index: NDArray[np.int64]) -> Plies:
        """Return the distances at some places, `NOWHERE` where there is no late mate."""
        group, byte, bit = index >> 8, index >> 3 & (_GROUP - 1), (index & 7).astype(np.uint8)
        those = np.flatnonzero(self._bits[group, byte] >> bit & 1)
        group, byte, bit = group[those], byte[those], bit[those]
        rows = self._bits[group]
        rows[byte[:, None] < _PLACES] = 0
        rows[np.arange(len(those)), byte] &= (np.uint8(1) << bit) - np.uint8(1)
        found = np.full(len(index), NOWHERE, np.int16)
        found[those] = self._values[self._before[group] + _ONES[rows].sum(axis=1, dtype=np.int64)]
        return found


class Chain:
    """The layers of one ground in which the winner is to move with an even, or an odd, number of plies left.

    Parameters
    ----------
    batches : of the ending
    winner_at : an even or an odd number of plies left with which the winner is to move
    """

    def __init__(self, ground: Ground, batches: Batches, winner_at: int) -> None:
        self.ground, self.batches, self._winner_at = ground, batches, winner_at % 2
        self._layers: list[_Layer] = []
        self._last: Codes | None = None
        #: Bytes held in memory, about.
        self.nbytes = ground.nbytes

    def winner_moves(self, left: int) -> bool:
        """Whether the winner is to move with so many plies left."""
        return left % 2 == self._winner_at

    def white_moves(self, left: int) -> bool:
        """Whether White is to move with so many plies left."""
        return self.ground.winner == self.winner_moves(left)

    def distances(self, batch: Squares, left: int) -> Plies:
        """Return the plies to mate in time of positions with so many plies left, `NOWHERE` without one."""
        white = self.white_moves(left)
        plain = MATE_PLIES[self.ground.winner][white][self.batches.codes(batch, white)].astype(np.int16)
        return np.where(plain <= left, plain, self._layers[left].read(self.ground.index(batch)))

    def grow(self, left: int, heartbeat: Callable[[int], None]) -> None:
        """Work out all layers up to one; `heartbeat` is called between them and may raise to stop the work."""
        while len(self._layers) <= left:
            heartbeat(len(self._layers))
            self._advance()

    def _advance(self) -> None:
        ground, left = self.ground, len(self._layers)
        attacks = self.winner_moves(left)
        if self._last is None:
            found = np.full(ground.moves.shape, NOWHERE, np.uint8) if attacks else ground.mated
        elif attacks:
            found = _deeper(ground.moves.least(self._last, ground.winner))
            np.minimum(found, ground.leaving[ground.winner], out=found)
            found |= ground.illegal[ground.winner]
        else:
            # The most of some numbers is the least of what they fall short of the highest by.
            short = ~self._last | ground.illegal[ground.winner]
            found = ~ground.moves.least(short, not ground.winner)
            found += ((found != 0) & (found != NOWHERE)).view(np.uint8)
            np.maximum(found, ground.leaving[not ground.winner], out=found)
            found |= ground.illegal[not ground.winner]
        self._last = found
        self._layers.append(_Layer(found, left))
        self.nbytes += self._layers[-1].nbytes


def _deeper(distances: Codes) -> Codes:
    """Return distances one ply further off."""
    return np.asarray(distances + (distances != NOWHERE).view(np.uint8))
