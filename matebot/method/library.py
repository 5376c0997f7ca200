"""The ladders at hand, solved when first asked for, and where a position stands in them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import chess
import numpy as np
from numpy.typing import NDArray

from matebot.method.kept import keep, last_change, read
from matebot.method.ladder import Ladder, Rung, Rungs
from matebot.method.plan import Plan
from matebot.method.plans import ALL_PLANS, LARGE_PLANS, PLANS
from matebot.method.standing import Standing
from matebot.solver.codes import DRAW
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import Material
from matebot.solver.successors import Step
from matebot.solver.tables import Tables
from matebot.terms import attacker_moves


class Library:
    """Ladders of the endings that have one.

    Attributes
    ----------
    standing_in : what has been looked up of the positions of ladders of five men, by name and whether White is to move
    counted : how many positions have been found at each distance; see `games.positions`
    """

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._ladders: dict[str, Rungs] = {}
        self._only_solved = False
        self._missed: dict[str, int] = {}  # when the folders of ladders that were not there had last been changed
        self.standing_in: dict[tuple[str, bool], tuple[NDArray[Any], ...]] = {}
        self.counted: dict[tuple[Material, bool, bool, str | None], NDArray[np.int64]] = {}

    def plans(self, material: Material | None) -> tuple[Plan, ...]:
        """Return the plans of an ending; none where it has no ladder, or one of five men that is not at hand."""
        if material is None:
            return ()
        if self._only_solved:
            return tuple(plan for plan in ALL_PLANS.get(material.name, ()) if plan.name in self._ladders)
        large = LARGE_PLANS.get(material.name, ())
        return tuple(filter(self._is_at_hand, large)) if large else PLANS.get(material.name, ())

    @contextmanager
    def only_solved(self) -> Iterator[None]:
        """Have no ladders meanwhile but those that have been solved, so that none is waited for."""
        self._only_solved = True
        try:
            yield
        finally:
            self._only_solved = False

    def is_passed_over(self, material: Material) -> bool:
        """Whether an ending has a ladder that is not solved and is not waited for; see `only_solved`."""
        return self._only_solved and not self.plans(material) and material.name in PLANS

    def ladder(self, plan: Plan) -> Rungs:
        """Return a solved plan; one of five men is kept at once."""
        if plan.ending in LARGE_PLANS and not self._is_at_hand(plan):
            self._ladders[plan.name] = keep(self.solved(plan), self.tables.folder)
        if plan.name not in self._ladders:
            self._ladders[plan.name] = self.solved(plan)
        return self._ladders[plan.name]

    def solved(self, plan: Plan) -> Ladder:
        """Solve a plan."""
        self.tables.prepare(Material.parse(plan.ending, largest=5))
        return Ladder(plan, self.tables, self.worth)

    def _is_at_hand(self, plan: Plan) -> bool:
        """Whether a plan of five men has been solved or is kept."""
        if plan.name not in self._ladders:
            changed = last_change(plan, self.tables.folder)
            if changed is None or self._missed.get(plan.name) == changed:
                return False  # asked of every position, so a file is not looked for each time
            kept = read(plan, self.tables.folder)
            if kept is None:
                self._missed[plan.name] = changed
            else:
                self._ladders[plan.name] = kept
        return plan.name in self._ladders

    def worth(self, material: Material, white_to_move: bool) -> Codes:
        """Return the codes of an ending with the moves to mate by the ladder the engine follows, where there is one."""
        codes = self.tables.codes(material, white_to_move)
        plans = PLANS.get(material.name, ())
        if not plans:
            return codes
        ladder = self.ladder(plans[0])
        assert isinstance(ladder, Ladder)
        moves = ladder.moves[white_to_move]
        return np.where(moves < DRAW, moves, codes)

    def ladders(self, material: Material | None, wanted: bool = False) -> list[Rungs]:
        """Return all ladders of an ending, the one the engine follows first.

        `wanted` : solve those of five men as well that are not at hand
        """
        if wanted and material is not None:
            return [self.ladder(plan) for plan in ALL_PLANS.get(material.name, ())]
        return [self.ladder(plan) for plan in self.plans(material)]

    def rung(self, stand: CanonicalPosition) -> Rung | None:
        """Return where a position stands in the ladder that is followed, None without one."""
        plans = self.plans(stand.material)
        return self.ladder(plans[0]).rung(stand) if plans else None

    def rung_after(self, before: CanonicalPosition, step: Step) -> Rung | None:
        """Return where a move from a position leads; in another ending, where there is no ladder, by the shortest way.

        None where White of the position does not win after it, or it is on the ladder no more.
        """
        if step.code >= DRAW:
            return None
        rung = None if step.swapped else self.rung(step.child)
        if rung is not None or step.child.material == before.material or step.mate_plies is None:
            return rung
        return Rung(0, step.mate_plies)

    def standings(self, board: chess.Board) -> tuple[Standing, ...]:
        """Return where a position stands in each ladder of its ending; empty where the method has no say."""
        return self.standings_of(self.tables.stand(board)[0])

    def standings_of(self, stand: CanonicalPosition) -> tuple[Standing, ...]:
        """Return the same for a position in canonical form."""
        found = []
        for ladder in self.ladders(stand.material):
            rung = ladder.rung(stand)
            if rung is not None:
                found.append(Standing(ladder.plan, rung, attacker_moves(rung.plies, stand.white_to_move)))
        return tuple(found)
