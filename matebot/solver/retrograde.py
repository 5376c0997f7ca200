"""Solves an ending in both metrics: moves to mate, and plies to the next capture, pawn move or mate that keeps the win.

The first is grown by the kernel in `attractor`; the second from it, since the sets won and lost are known by then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np

from matebot.records import dataclass
from matebot.solver.attractor import Attractor, Distances, Heartbeat
from matebot.solver.codes import MATES_AS_LEGS, MOST
from matebot.solver.conversions import ChildTable, Timed
from matebot.solver.crew import Crew
from matebot.solver.geometry import Codes, Words
from matebot.solver.legs import Legs
from matebot.solver.material import Material
from matebot.solver.memory import give_back
from matebot.solver.placement import Placement
from matebot.solver.symmetry import Reduction


@dataclass(frozen=True, slots=True)
class Solution:
    """Codes of one ending in the reduced layout, by side to move (True: White).

    Attributes
    ----------
    metrics : the distances to mate, and the legs; the legs are left out where every leg ends in mate
    """

    material: Material
    metrics: tuple[dict[bool, Codes], ...]

    def codes(self, metric: int, white_to_move: bool) -> Codes:
        """Return the codes of one metric, 0 for the distance to mate, 1 for the legs, with one side to move."""
        if metric < len(self.metrics):
            return self.metrics[metric][white_to_move]
        return np.asarray(MATES_AS_LEGS[white_to_move][self.metrics[0][white_to_move]])

    def row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        """Return the codes of one metric with the kings in their places, without working out those of all others."""
        codes = self.metrics[min(metric, len(self.metrics) - 1)][white_to_move][king_class, black_king]
        row: bytes = codes.tobytes() if metric < len(self.metrics) else MATES_AS_LEGS[white_to_move][codes].tobytes()
        return row


class Sides(Mapping[bool, Codes]):
    """The codes of one metric by side to move, written when they are asked for."""

    def __init__(self, distances: dict[bool, Distances], legal: dict[bool, Words]) -> None:
        self._distances, self._legal = distances, legal

    def __getitem__(self, side: bool) -> Codes:
        return self._distances[side].reduced(self._legal[side])

    def __iter__(self) -> Iterator[bool]:
        return iter((True, False))

    def __len__(self) -> int:
        return 2

    def let_go(self) -> None:
        """Let go of what the codes are written from; they can be asked for no more."""
        self._distances = {}


class Solver:
    """Solves one ending when the values of those it leads to are known.

    Parameters
    ----------
    table : gives the DTM codes of a child ending for one side to move
    heartbeat : called between layers
    pulse : called again and again within them where the ending is large; may raise to stop the work
    banned : optional sets of positions by side to move that count as drawn (a third repetition)
    reduction : the symmetry to use; by default the ending's own
    timed : where some child has legs that are too long: the codes of such children with those wins as draws
    compiled : whether to use compiled loops, see `tools`
    """

    def __init__(
        self,
        material: Material,
        table: ChildTable,
        heartbeat: Heartbeat = lambda plies: None,
        banned: dict[bool, Words] | None = None,
        reduction: Reduction | None = None,
        timed: Timed | None = None,
        pulse: Callable[[], None] = lambda: None,
        compiled: bool | None = None,
    ) -> None:
        self.material = material
        self.heartbeat = heartbeat
        self._crew = Crew(pulse)
        self.placement = Placement(material, reduction)
        pulse()
        self._attractor = Attractor(self.placement, table, self._crew, compiled, timed)
        self.moves = self._attractor.moves
        self.legal = self.placement.legal
        self.banned = banned

    def solve(self) -> Solution:
        """Work out both metrics for both sides to move."""
        return Solution(self.material, tuple(dict(metric) for metric in self.metrics()))

    def metrics(self) -> Iterator[Sides]:
        """Yield the codes of the distances to mate, then those of the legs, left out where every leg ends in mate.

        Each can be read until the next is asked for; one side after the other is written, so that large endings can
        be packed as they come.
        """
        winners = [winner for winner in (True, False) if self._men_of(winner)]
        dtm = {side: Distances(self.placement.shape, self._attractor.sets) for side in (True, False)}
        for winner in winners:
            self._attractor.grow(winner, dtm, allowed=self._allowed, heartbeat=self.heartbeat)
        known = {side: dtm[side].known for side in (True, False)}
        self._give_back()
        yield (written := Sides(dtm, self.legal))
        written.let_go()
        del dtm
        if any(self._converts(winner) for winner in winners):
            self._attractor.heed_the_clock()
            legs = {side: Distances(self.placement.shape, self._attractor.sets) for side in (True, False)}
            finder = Legs(self._attractor, self._crew, self.heartbeat)
            for winner in winners:
                finder.add(winner, known, legs)
            del known, finder
            self._give_back()
            yield Sides(legs, self.legal)

    def _give_back(self) -> None:
        """Have room for the codes, which are large with five men."""
        if len(self.material.men) > 2:
            give_back()

    def _men_of(self, side: bool) -> str:
        return self.material.white if side else self.material.black

    def _allowed(self, found: Words, side: bool) -> Words:
        return found if self.banned is None else found & ~self.banned[side]

    def _converts(self, winner: bool) -> bool:
        """Whether any capture or pawn move keeps the win, so that the two metrics may differ."""
        return self.material.has_pawns or any(
            self._attractor.leaving(winner, side, 0, MOST[winner]).any() for side in (True, False)
        )
