"""The proof of a ladder over every won position, and how long the method and each of its stages last.

Forwards, position by position as arrays of squares, by other code than the solver's: the attacker always has a move
that neither goes back a stage nor fails to lower the distance, and no reply of the defender undoes it. Among the
attacker's equally good moves the one that keeps him longest in the stage is counted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matebot.method.crowd import Crowd, Layout, Numbers, leaving_moves, quiet_moves
from matebot.method.ladder import Ladder
from matebot.solver import geometry as geo
from matebot.solver.codes import DRAW, ILLEGAL, flipped
from matebot.solver.conversions import ChildTable
from matebot.solver.geometry import Codes
from matebot.solver.tables import Tables


@dataclass(frozen=True, slots=True)
class Figures:
    """What the proof found, in attacker's moves, over all won positions with the attacker to move.

    Attributes
    ----------
    stage_longest_moves : for each stage, the most moves the method stays in it
    longest_moves, mean_moves : to mate by the method against the longest defence
    shortest_longest_moves, shortest_mean_moves : to mate by the shortest way
    positions : placements of the whole board that were covered
    """

    stage_longest_moves: tuple[int, ...]
    longest_moves: int
    mean_moves: float
    shortest_longest_moves: int
    shortest_mean_moves: float
    positions: int


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
        self._layout = Layout(ladder.material)
        self._worth = worth
        self._moves = {side: ladder.moves[side].ravel() for side in (True, False)}
        self._stages = {side: ladder.stages[side].ravel() for side in (True, False)}
        self._dtm = {side: tables.codes(self.material, side).ravel() for side in (True, False)}
        self._stay = {side: np.zeros(self._moves[side].size, dtype=np.int64) for side in (True, False)}
        order = {side: _by_moves(self._moves[side], every) for side in (True, False)}
        for moves in range(DRAW):
            for side in (True, False):
                places = order[side](moves)
                if places.size:
                    self._stay[side][places] = (self._attack if side else self._defend)(places, moves)

    def _attack(self, places: Numbers, moves: int) -> Numbers:
        """Return how many moves the attacker stays in the stage; check that he can go forward."""
        crowd, stage = self._layout.positions(places), self._stages[True][places]
        nearest = np.full(len(places), DRAW)
        stay = np.zeros(len(places), dtype=np.int64)
        for child, usable in quiet_moves(self.material, crowd, True):
            place = self._layout.index(child)
            forward = usable & (self._stages[False][place] >= stage) & (self._moves[False][place] < DRAW)
            distance = np.where(forward, self._moves[False][place], DRAW)
            nearest = np.minimum(nearest, distance)
            same = (distance == moves - 1) & (self._stages[False][place] == stage)
            stay = np.where(same, np.maximum(stay, self._stay[False][place]), stay)
        for value, legal in self._leaving(crowd, True):
            nearest = np.where(legal, np.minimum(nearest, value), nearest)
        if (nearest != moves - 1).any():
            raise Disproof(self._describe(places[nearest != moves - 1], True))
        return stay + 1

    def _defend(self, places: Numbers, moves: int) -> Numbers:
        """Return the longest stay after a reply; check that no reply leads back or takes longer, or there is mate."""
        crowd, stage = self._layout.positions(places), self._stages[False][places]
        stay = np.zeros(len(places), dtype=np.int64)
        farthest = np.full(len(places), -1)
        for child, usable in quiet_moves(self.material, crowd, False):
            place = self._layout.index(child)
            legal = usable & (self._dtm[True][place] != ILLEGAL)
            back = legal & ((self._moves[True][place] >= DRAW) | (self._stages[True][place] < stage))
            if back.any():
                raise Disproof(self._describe(places[back], False))
            farthest = np.where(legal, np.maximum(farthest, self._moves[True][place]), farthest)
            same = legal & (self._stages[True][place] == stage)
            stay = np.where(same, np.maximum(stay, self._stay[True][place]), stay)
        for value, legal in self._leaving(crowd, False):
            farthest = np.where(legal, np.maximum(farthest, value), farthest)
        # A king that is in check is one that may not be so with the other side to move.
        mated = (farthest < 0) & (self._dtm[True][places] == ILLEGAL)
        wrong = np.where(mated, 0, farthest) != moves
        if wrong.any():
            raise Disproof(self._describe(places[wrong], False))
        return stay

    def _leaving(self, crowd: Crowd, white: bool) -> Iterator[tuple[Numbers, NDArray[np.bool_]]]:
        """Yield moves to mate after captures and promotions, `DRAW` without one, and where these are legal."""
        for men, after, usable in leaving_moves(self.material, crowd, white):
            if not usable.any():
                continue
            if not men:
                apart = usable & (geo.KING[after.white_king] >> after.black_king.astype(np.uint64) & np.uint64(1) == 0)
                yield np.full(len(usable), DRAW), apart
                continue
            material, swapped, turned = after.canonical(men)
            codes = self._worth(material, white == swapped).ravel()[Layout(material).index(turned)]
            value = (flipped(codes) if swapped else codes).astype(np.int64)
            yield np.minimum(value, DRAW), usable & (value != ILLEGAL)

    def _describe(self, places: Numbers, white: bool) -> str:
        crowd = self._layout.positions(places[:1])
        squares = [int(s[0]) for s in (crowd.white_king, crowd.black_king, *crowd.men)]
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


def _by_moves(moves: Codes, every: int) -> Callable[[int], Numbers]:
    order = np.argsort(moves, kind="stable") if every == 1 else np.arange(0, moves.size, every)
    order = order if every == 1 else order[np.argsort(moves[order], kind="stable")]
    bounds = np.searchsorted(moves[order], np.arange(DRAW + 1))
    return lambda wanted: order[bounds[wanted] : bounds[wanted + 1]]
