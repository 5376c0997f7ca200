"""The ladders at hand, solved when first asked for, and where a position stands in them."""

from __future__ import annotations

import chess
import numpy as np

from matebot.method.ladder import Ladder, Plan, Rung
from matebot.method.plans import PLANS
from matebot.method.standing import Standing
from matebot.solver.codes import DRAW
from matebot.solver.geometry import Codes
from matebot.solver.lookup import Stand
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from matebot.terms import attacker_moves


class Library:
    """Ladders of the endings that have one."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._ladders: dict[str, Ladder] = {}

    def plans(self, material: Material | None) -> tuple[Plan, ...]:
        """Return the plans of an ending; none where it has no ladder."""
        return () if material is None else PLANS.get(material.name, ())

    def ladder(self, plan: Plan) -> Ladder:
        """Return a solved plan."""
        if plan.name not in self._ladders:
            self.tables.prepare(Material.parse(plan.ending))
            self._ladders[plan.name] = Ladder(plan, self.tables, self.worth)
        return self._ladders[plan.name]

    def worth(self, material: Material, white_to_move: bool) -> Codes:
        """Return the codes of an ending with the moves to mate by the ladder the engine follows, where there is one."""
        codes = self.tables.codes(material, white_to_move)
        plans = PLANS.get(material.name, ())
        if not plans:
            return codes
        moves = self.ladder(plans[0]).moves[white_to_move]
        return np.where(moves < DRAW, moves, codes)

    def ladders(self, material: Material | None) -> list[Ladder]:
        """Return all ladders of an ending, the one the engine follows first."""
        return [self.ladder(plan) for plan in self.plans(material)]

    def rung(self, stand: Stand) -> Rung | None:
        """Return where a position stands in the ladder that is followed, None without one."""
        plans = self.plans(stand.material)
        return self.ladder(plans[0]).rung(stand) if plans else None

    def standings(self, board: chess.Board) -> tuple[Standing, ...]:
        """Return where a position stands in each ladder of its ending; empty where the method has no say."""
        return self.standings_of(self.tables.stand(board)[0])

    def standings_of(self, stand: Stand) -> tuple[Standing, ...]:
        """Return the same for a position in canonical form."""
        found = []
        for ladder in self.ladders(stand.material):
            rung = ladder.rung(stand)
            if rung is not None:
                found.append(_standing(ladder, rung, stand.white_to_move))
        return tuple(found)


def _standing(ladder: Ladder, rung: Rung, attacker_to_move: bool) -> Standing:
    stage = ladder.stage(rung)
    moves = attacker_moves(rung.plies, attacker_to_move)
    return Standing(
        ladder.plan.name,
        rung.stage + 1,
        len(ladder.plan.stages),
        stage.title,
        stage.aim,
        stage.trap,
        moves,
        rung,
    )
