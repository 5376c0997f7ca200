"""The proof of a ladder over every won position, and how long the method and each of its stages last.

Forwards, position by position as arrays of squares, by other code than the solver's: the attacker always has a move
that neither goes back a stage nor fails to lower the distance, and no reply of the defender undoes it. Among the
attacker's equally good moves the one that keeps him longest in the stage is counted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matebot.method.batch import Layout, Numbers, leaving_moves, quiet_moves
from matebot.method.ladder import Ladder
from matebot.method.plan import Figures
from matebot.solver import geometry as geo
from matebot.solver.codes import DRAW, ILLEGAL, flipped, squares_at, squares_of
from matebot.solver.conversions import ChildTable
from matebot.solver.geometry import Codes
from matebot.solver.tables import Tables
from matebot.terms import CLAIM_PLIES

_DRAWN = np.uint8(DRAW)
#: How a place is packed: the stage above a byte with the moves.
_BYTE, _LOW, _NO_PLACE = np.uint16(8), np.uint16(0xFF), np.uint16(0xFFFF)
#: Of mates in so many moves no clock takes one away, so nothing else need be read about them.
_SURELY_IN_TIME = CLAIM_PLIES // 2
#: Positions looked at together: few enough that what is made of them stays near the processor.
_PART = 65_536


class Disproof(Exception):
    """A won position from which the method does not go forward."""


class Proof:
    """Goes through all won positions of a ladder, nearest to the end first.

    Parameters
    ----------
    every : look at every so many-th position only, for a quick check; the lengths of stages are then too small
    worth : gives the codes that the positions of another ending are worth, as for the ladder

    Raises
    ------
    Disproof
        when a position does not bear the ladder out
    """

    def __init__(self, ladder: Ladder, tables: Tables, worth: ChildTable, every: int = 1) -> None:
        self.ladder = ladder
        self.material = ladder.material
        self._layout = Layout(ladder.material, ladder.plan.pawn_ranks)
        self._left = cache(Layout)
        self._worth = cache(lambda material, side: worth(material, side).ravel())
        self._moves = {side: ladder.moves[side].ravel() for side in (True, False)}
        self._stages = {side: ladder.stages[side].ravel() for side in (True, False)}
        self._dtm = {side: self._shortest(tables, side) for side in (True, False)}
        self._places = {side: self._packed(side) for side in (True, False)}
        self._stay = {side: np.zeros(self._moves[side].size, np.uint8) for side in (True, False)}
        self._check_won()
        order = {side: _by_moves(self._moves[side], every) for side in (True, False)}
        for moves in range(DRAW):
            for side in (True, False):
                look = self._attack if side else self._defend
                for places in _parts(order[side](moves)):
                    self._stay[side][places] = look(places, moves)

    def _shortest(self, tables: Tables, side: bool) -> Codes:
        """Return the codes to mate; of five men those in time under the fifty-move rule, for the pawns of the plan."""
        if not self.ladder.plan.ranks:
            return tables.codes(self.material, side).ravel()
        whole, found = Layout(self.material), np.empty(self._layout.shape, np.uint8)
        ranks = self.ladder.plan.ranks
        squares = [squares_at(man, white, ranks) - squares_of(man)[0] for man, white in self.material.men]
        for number in range(tables.rows(self.material)):
            place = divmod(number, 64)
            row = tables.whole_row(self.material, side, number)
            found[place] = row.reshape(whole.shape[2:])[np.ix_(*squares)]
            taught = found[place][self.ladder.moves[side][place] < DRAW]
            if (taught > _SURELY_IN_TIME).any():
                row = tables.row_in_time(self.material, side, number)
                found[place] = row.reshape(whole.shape[2:])[np.ix_(*squares)]
        return found.ravel()

    def _packed(self, side: bool) -> NDArray[np.uint16]:
        """Return for every place its stage and below it the moves to mate by the method, to be read at once."""
        packed = self._stages[side].astype(np.uint16)
        packed <<= _BYTE
        packed |= self._moves[side]
        packed[self._dtm[side] == ILLEGAL] = _NO_PLACE
        return packed

    def _check_won(self) -> None:
        for side in (True, False):
            wrong = np.flatnonzero((self._moves[side] < DRAW) & (self._moves[side] < self._dtm[side]))
            if wrong.size:
                raise Disproof(self._describe(wrong, side))

    def _attack(self, places: Numbers, moves: int) -> Codes:
        """Return how many moves the attacker stays in the stage; check that he can go forward."""
        here = self._stages[True][places].astype(np.uint16) << _BYTE
        stay, forward, shorter = np.zeros(len(places), np.uint8), *np.zeros((2, len(places)), np.bool_)
        for rows, place in quiet_moves(self._layout, places, True):
            after, least = self._places[False][place], here[rows]
            distance = after & _LOW
            near = (after >= least) & (distance < moves)
            rows, place = rows[near], place[near]
            after, distance, least = after[near], distance[near], least[near]
            shorter[rows[distance < moves - 1]] = True
            forward[rows] = True
            same = after - least == moves - 1
            _raise(stay, rows[same], self._stay[False][place[same]])
        for rows, value in self._leaving(places, True):
            forward[rows[value < moves]] = True
            shorter[rows[value < moves - 1]] = True
        if (wrong := shorter | ~forward).any():
            raise Disproof(self._describe(places[wrong], True))
        return stay + np.uint8(1)

    def _defend(self, places: Numbers, moves: int) -> Codes:
        """Return the longest stay after a reply; check that no reply leads back or takes longer, or there is mate."""
        here = self._stages[False][places].astype(np.uint16) << _BYTE
        stay, able, farthest, longer = np.zeros(len(places), np.uint8), *np.zeros((3, len(places)), np.bool_)
        for rows, place in quiet_moves(self._layout, places, False):
            after = self._places[True][place]
            legal = after != _NO_PLACE
            rows, place, after = rows[legal], place[legal], after[legal]
            least, distance = here[rows], after & _LOW
            back = (distance >= DRAW) | (after < least)
            if back.any():
                raise Disproof(self._describe(places[rows[back]], False))
            able[rows] = True
            farthest[rows[distance == moves]] = True
            longer[rows[distance > moves]] = True
            same = after ^ least <= _LOW
            _raise(stay, rows[same], self._stay[True][place[same]])
        for rows, value in self._leaving(places, False):
            able[rows] = True
            farthest[rows[value == moves]] = True
            longer[rows[value > moves]] = True
        # A king that is in check is one that may not be so with the other side to move.
        mated = ~able & (self._dtm[True][places] == ILLEGAL) & (moves == 0)
        if (wrong := longer | ~(farthest | mated)).any():
            raise Disproof(self._describe(places[wrong], False))
        return stay

    def _leaving(self, places: Numbers, white: bool) -> Iterator[tuple[Numbers, Codes]]:
        """Yield which positions have a legal capture or promotion, and the moves to mate then, `DRAW` without one."""
        for men, rows, after in leaving_moves(self.material, self._layout.positions(places), white):
            if not rows.size:
                continue
            if not men:
                near = geo.KING[after.white_king] >> after.black_king.astype(np.uint64) & np.uint64(1) != 0
                yield rows[~near], np.full(int((~near).sum()), DRAW, np.uint8)
                continue
            material, swapped, turned = after.canonical(men)
            codes = self._worth(material, white == swapped)[self._left(material).index(turned)]
            value = flipped(codes) if swapped else codes
            legal = value != ILLEGAL
            yield rows[legal], np.minimum(value[legal], _DRAWN)

    def _describe(self, places: Numbers, white: bool) -> str:
        batch = self._layout.positions(places[:1])
        squares = [int(s[0]) for s in (batch.white_king, batch.black_king, *batch.men)]
        side = "attacker" if white else "defender"
        return f"{self.ladder.plan.name}: {len(places)} positions, {side} to move, first with squares {squares}"

    def figures(self) -> Figures:
        """Return the longest and the mean, by the method and by shortest play."""
        won = self._moves[True] < DRAW
        weights = self._layout.weights(self._moves[True].size)[won]
        moves, shortest = self._moves[True][won].astype(np.int64), self._dtm[True][won].astype(np.int64)
        stages = [self._stay[True][won & (self._stages[True] == n)] for n in range(len(self.ladder.plan.stages))]
        return Figures(
            tuple(int(stay.max(initial=0)) for stay in stages),
            int(moves.max()),
            float(np.average(moves, weights=weights)),
            int(shortest.max()),
            float(np.average(shortest, weights=weights)),
            int(weights.sum()),
        )


def _raise(values: NDArray[Any], rows: Numbers, at_least: Codes) -> None:
    values[rows] = np.maximum(values[rows], at_least)


def _parts(places: Numbers) -> Iterator[Numbers]:
    for first in range(0, len(places), _PART):
        yield places[first : first + _PART]


def _by_moves(moves: Codes, every: int) -> Callable[[int], Numbers]:
    order = np.flatnonzero(moves < DRAW)
    order = order[order % every == 0]
    order = order[np.argsort(moves[order], kind="stable")]
    bounds = np.searchsorted(moves[order], np.arange(DRAW + 1))
    return lambda wanted: order[bounds[wanted] : bounds[wanted + 1]]
