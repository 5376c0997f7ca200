"""A ladder of stages: each stage is the same game with another goal, solved like the ending itself.

The goal of each is mate, or a capture or promotion that wins, and of all but the last also to reach the stage after
it, the attacker never leaving the stage's zone. So for every won position it is proved, not guessed, in which stage it
is. The method never goes back a stage and otherwise mates as soon as that allows: every move of it brings mate by the
method one ply nearer, whatever the defender does, and it cannot loop.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from matebot.method.plan import Plan, Stage
from matebot.method.zones import Zones
from matebot.records import dataclass
from matebot.solver.attractor import Distances
from matebot.solver.codes import DRAW, mate_plies, uniform
from matebot.solver.conversions import ChildTable
from matebot.solver.geometry import Codes
from matebot.solver.lookup import ArrayTable, CanonicalPosition, Reader, Recent, Table
from matebot.solver.material import Material
from matebot.solver.reach import Game, Sides
from matebot.solver.tables import Tables


@dataclass(frozen=True, slots=True)
class Rung:
    """Where a won position stands in a ladder.

    Attributes
    ----------
    stage : number of the stage, 0 the first in the order of play
    plies : plies to mate by the method, against the longest defence
    """

    stage: int
    plies: int


class Rungs:
    """Where the positions of a solved plan stand.

    Attributes
    ----------
    plan, material : the plan, and the ending it is about
    """

    plan: Plan
    material: Material

    def read(self, moves: Table, stages: Table, recent: Recent | None = None) -> None:
        """Read the moves to mate by the method and the stages from tables; `recent` holds the rows to some bytes."""
        self._moves, self._stages = (Reader(self.material, table, recent=recent) for table in (moves, stages))

    def rung(self, stand: CanonicalPosition) -> Rung | None:
        """Return where a position of the ending stands, None where the method does not win it."""
        where = (stand.white_to_move, stand.white_king, stand.black_king, stand.men)
        stage = self._stages.code(*where)
        plies = mate_plies(self._moves.code(*where), stand.white_to_move)
        return Rung(stage, plies) if stage < DRAW and plies is not None else None

    def stage(self, rung: Rung) -> Stage:
        """Return the stage of a rung."""
        return self.plan.stages[rung.stage]

    def stages_in(self, attacking: bool, part: int, width: int) -> Codes:
        """Return the stages of a part of all places with attacker or defender to move."""
        raise NotImplementedError


class Ladder(Rungs):
    """A plan that has been solved.

    Parameters
    ----------
    worth : gives the codes that the positions of another ending are worth after a capture or promotion: moves to mate
        by the ladder that is followed there, or by the shortest way

    Attributes
    ----------
    moves : codes by side to move in the reduced layout: moves to mate by the method where it wins; pawns
        have the squares of the plan's ranks only
    stages : likewise, the number of the stage
    """

    def __init__(self, plan: Plan, tables: Tables, worth: ChildTable) -> None:
        self.plan = plan
        self.material = Material.parse(plan.ending, largest=5)

        def follow(child: Material, white_to_move: bool) -> Codes:
            if plan.ranks and child.black != self.material.black and len(child.men) == len(self.material.men):
                return uniform(child, DRAW)  # the other side's promotion counts as its escape
            # Where the stronger side of what is left is the defender no ladder of his need be solved.
            return (worth if _may_leave(self.material, child) else tables.codes)(child, white_to_move)

        known = None if plan.ranks else {side: tables.codes(self.material, side) for side in (True, False)}
        game = Game(self.material, known, follow, plan.pawn_ranks)
        regions = self._regions(game)
        self.moves = _codes(game, game.totals(regions))
        self.stages = _codes(game, _numbered(regions))
        if not plan.ranks:
            self.read(ArrayTable(self.moves), ArrayTable(self.stages))

    def stages_in(self, attacking: bool, part: int, width: int) -> Codes:
        """Return the stages of a part of all places with attacker or defender to move."""
        return self.stages[attacking].reshape(-1)[part * width : (part + 1) * width]

    def _regions(self, game: Game) -> list[Sides]:
        """Return the positions of each stage, in the order of play."""
        zones = Zones(game.placement)
        known: Sides = {True: game.placement.empty(), False: game.mated}
        if self.plan.ranks:
            known[False] = game.mated & np.bitwise_or.reduce([stage.zone(zones) for stage in self.plan.stages])
        regions: list[Sides] = []
        for stage in reversed(self.plan.stages):
            zone = stage.zone(zones)
            if self.plan.ranks or (game.placement.apart & ~zone).any():
                wider = game.region(known, zone, stage.after_move)
            else:  # nothing is out of bounds: the mate can be forced from all that is won
                wider = {True: game.won, False: game.lost}
            if regions:
                regions.append({side: wider[side] & ~known[side] for side in (True, False)})
            else:
                regions.append(wider)
            known = wider
        return regions[::-1]


def _may_leave(before: Material, after: Material) -> bool:
    """Whether captures and promotions can leave White the men that White has in another ending."""
    new = Counter(after.white) - Counter(before.white)
    return "P" not in new and new.total() <= before.white.count("P")


def _numbered(regions: list[Sides]) -> dict[bool, Distances]:
    numbers = {side: Distances(regions[0][side].shape) for side in (True, False)}
    for number, region in enumerate(regions):
        for side in (True, False):
            numbers[side].add(region[side], True, number)
    return numbers


def _codes(game: Game, distances: dict[bool, Distances]) -> dict[bool, Codes]:
    return {side: distances[side].reduced(game.legal[side]) for side in (True, False)}
