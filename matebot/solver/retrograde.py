"""Solves an ending in both metrics: plies to mate, and plies to the next capture, pawn move or mate that keeps the win.

The first is grown by the kernel in `attractor`; the second from it, since the sets won and lost are known by then.
"""

from __future__ import annotations

from dataclasses import dataclass

from matebot.solver.attractor import Attractor, Distances, Heartbeat
from matebot.solver.codes import DRAW
from matebot.solver.conversions import ChildTable
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.symmetry import Reduction


@dataclass(frozen=True, slots=True)
class Solution:
    """Codes of one ending in the reduced layout, by side to move (True: White)."""

    material: Material
    dtm: dict[bool, Codes]
    dtz: dict[bool, Codes]


class Solver:
    """Solves one ending when the values of those it leads to are known.

    Parameters
    ----------
    table : gives the DTM codes of a child ending for one side to move
    heartbeat : called between layers
    banned : optional sets of positions by side to move that count as drawn (a third repetition)
    reduction : the symmetry to use; by default the ending's own
    """

    def __init__(
        self,
        material: Material,
        table: ChildTable,
        heartbeat: Heartbeat = lambda plies: None,
        banned: dict[bool, Words] | None = None,
        reduction: Reduction | None = None,
    ) -> None:
        self.material = material
        self.heartbeat = heartbeat
        self.placement = Placement(material, reduction)
        self._attractor = Attractor(self.placement, table)
        self.moves = self._attractor.moves
        self.legal = self.placement.legal
        self.banned = banned

    def solve(self) -> Solution:
        """Work out both metrics for both sides to move."""
        dtm = {side: Distances(self.placement.shape) for side in (True, False)}
        for winner in (True, False):
            if self._men_of(winner):
                self._mates(winner, dtm)
        tables = {s: dtm[s].reduced(self.legal[s]) for s in (True, False)}
        if not any(self._converts(winner, dtm) for winner in (True, False) if self._men_of(winner)):
            return Solution(self.material, tables, tables)
        known = {side: dtm[side].known for side in (True, False)}
        del dtm
        dtz = {side: Distances(self.placement.shape) for side in (True, False)}
        for winner in (True, False):
            if self._men_of(winner):
                self._legs(winner, known, dtz)
        legs = {s: dtz[s].reduced(self.legal[s]) for s in (True, False)}
        return Solution(self.material, tables, legs)

    def _men_of(self, side: bool) -> str:
        return self.material.white if side else self.material.black

    def _mates(self, winner: bool, dtm: dict[bool, Distances]) -> None:
        """Grow the sets won and lost by distance to mate, for one winner."""
        self._attractor.grow(winner, dtm, allowed=self._allowed, heartbeat=self.heartbeat)

    def _allowed(self, found: Words, side: bool) -> Words:
        return found if self.banned is None else found & ~self.banned[side]

    def _converts(self, winner: bool, dtm: dict[bool, Distances]) -> bool:
        """Whether any capture or pawn move keeps the win, so that the two metrics may differ."""
        return self.material.has_pawns or any(
            self._attractor.leaving(winner, side, 0, DRAW - 1).any() for side in (True, False)
        )

    def _zeroing(self, winner: bool, lost: Words) -> Words:
        """Placements from which the winner converts, or moves a pawn, into a position lost for the other side."""
        found = self._attractor.leaving(winner, winner, 0, DRAW - 1)
        en_passant = self._attractor.en_passant
        tempered = en_passant.without(lost, winner, 0, 254) if en_passant.active else lost
        for axis, (man, colour) in enumerate(self.placement.men):
            if man == "P" and colour == winner:
                self.moves.pawn_step(lost, axis, found)
                self.moves.double_step(tempered, axis, found)
        return found

    def _legs(
        self,
        winner: bool,
        known: dict[bool, dict[bool, Words]],
        dtz: dict[bool, Distances],
    ) -> None:
        """Grow the sets by distance to the next capture, pawn move or mate that keeps the win."""
        loser = not winner
        won, lost = known[winner][winner], known[loser][winner]

        def before(reached: Words, mover: bool) -> Words:
            out = self.placement.empty()
            return self.moves.before(reached, mover, out, pawns=False)

        mated = self._attractor.mated[loser] & lost
        dtz[loser].add(mated, winner, 0)
        first = before(mated, winner) | self._zeroing(winner, lost)
        fresh_won = self._allowed(first & won, winner)
        dtz[winner].add(fresh_won, winner, 1)
        fresh_lost = lost & ~mated & ~before(self.legal[winner], loser)
        dtz[loser].add(fresh_lost, winner, 1)
        ply = 1
        while fresh_won.any() or fresh_lost.any():
            self.heartbeat(ply)
            ply += 1
            next_won, next_lost = fresh_lost, fresh_won
            if fresh_lost.any():
                next_won = before(fresh_lost, winner) & won & ~dtz[winner].known[winner]
            if fresh_won.any():
                # positions won at exactly `ply` come only now, so what was known before them is what counts
                open_ = self.legal[winner] & ~dtz[winner].known[winner]
                next_lost = lost & ~before(open_, loser) & ~dtz[loser].known[winner]
            fresh_won, fresh_lost = next_won, next_lost
            dtz[winner].add(fresh_won, winner, ply)
            dtz[loser].add(fresh_lost, winner, ply)
