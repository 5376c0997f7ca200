"""A game in sum: moves in each stage beside the most the method takes, slips by kind, and what to practise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from matebot.facts.slip_kind import kind_of
from matebot.games.demonstrate import DemonstratedMove
from matebot.ideas.slip_kinds import SlipKind, hardness
from matebot.method.library import Library
from matebot.method.plans import ALL_PLANS
from matebot.method.proved import proved_figures

ATTACK, DEFENCE = "attack", "defence"
#: A kind of slip, and the side that made it.
Slips = Counter[tuple[str, SlipKind]]


@dataclass(slots=True)
class StageCount:
    """The attacker's moves in a stage of an ending, and those it lost; stage 0 where the method has no say."""

    ending: str
    stage: int
    title: str
    moves: int = 0
    lost: int = 0

    @property
    def most(self) -> int | None:
        """The most moves the method takes in the stage, None without a ladder."""
        return most_moves(self.ending, self.stage)


@dataclass(slots=True)
class Summary:
    """What a game comes to, stage by stage in the order of play."""

    stages: list[StageCount] = field(default_factory=list)
    slips: Slips = field(default_factory=Counter)

    @property
    def moves(self) -> int:
        """The attacker's moves in all."""
        return sum(stage.moves for stage in self.stages)

    @property
    def most(self) -> int | None:
        """The most moves the method takes in all from where the game began, None without a ladder."""
        if not self.stages or self.stages[0].most is None:
            return None
        return proved_figures(ALL_PLANS[self.stages[0].ending][0]).longest_moves

    @property
    def hardest(self) -> StageCount | None:
        """The stage to practise: where most moves were lost, and where as many were, the longest."""
        return max(self.stages, key=lambda stage: (stage.lost, stage.moves), default=None)

    def as_data(self) -> dict[str, object]:
        """Return the summary as plain data for JSON."""
        return {
            "stages": [
                {
                    "ending": stage.ending,
                    "stage": stage.stage or None,
                    "title": stage.title or None,
                    "moves": stage.moves,
                    "moves_lost": stage.lost,
                    "by_the_method_at_most": stage.most,
                }
                for stage in self.stages
            ],
            "slips": slips_data(self.slips),
        }


def most_moves(ending: str, stage: int) -> int | None:
    """Return the most moves the method followed takes in a stage (1 the first), None where it has no say."""
    if not stage or ending not in ALL_PLANS:
        return None
    return proved_figures(ALL_PLANS[ending][0]).stage_longest_moves[stage - 1]


def slips_data(slips: Slips) -> list[dict[str, object]]:
    """Return counted slips as plain data, the hardest kinds first."""
    return [{"side": side, "kind": kind.value, "times": times} for (side, kind), times in in_order(slips)]


def in_order(slips: Slips) -> list[tuple[tuple[str, SlipKind], int]]:
    """Return counted slips, the attack's first, the hardest kinds first."""
    return sorted(slips.items(), key=lambda item: (item[0][0], hardness(item[0][1])))


def summary(library: Library, played: Iterable[DemonstratedMove]) -> Summary:
    """Return what the moves of a game come to."""
    found = Summary()
    at: dict[tuple[str, int], StageCount] = {}
    for step in played:
        facts = step.facts
        kind = kind_of(facts)
        if kind is not None:
            found.slips[ATTACK if facts.by_attacker else DEFENCE, kind] += 1
        if not facts.by_attacker:
            continue
        material = library.tables.stand(step.board)[0].material
        ending = "KK" if material is None else material.name
        standing = facts.places.standings_before[0] if facts.places.standings_before else None
        place = (ending, 0 if standing is None else standing.stage)
        if place not in at:
            at[place] = StageCount(*place, "" if standing is None else standing.title)
            found.stages.append(at[place])
        at[place].moves += 1
        at[place].lost += facts.cost.moves_lost or 0
    return found
