"""Where a won position stands in one ladder, in the words a pupil is told."""

from __future__ import annotations

from matebot.method.ladder import Rung
from matebot.method.plan import Plan, Stage
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a won position stands in one ladder.

    Attributes
    ----------
    plan : the ladder
    moves : the attacker's moves to mate by the method against the longest defence
    """

    plan: Plan
    rung: Rung
    moves: int

    @property
    def ladder(self) -> str:
        """Name of the ladder."""
        return self.plan.name

    @property
    def at(self) -> Stage:
        """The stage."""
        return self.plan.stages[self.rung.stage]

    @property
    def title(self) -> str:
        """Title of the stage in the trade's words."""
        return self.at.title

    @property
    def aim(self) -> str:
        """What the attacker wants in it."""
        return self.at.aim

    @property
    def trap(self) -> str:
        """What goes wrong most often in it."""
        return self.at.trap

    @property
    def stage(self) -> int:
        """Number of the stage, 1 the first."""
        return self.rung.stage + 1

    @property
    def stages(self) -> int:
        """How many stages the ladder has."""
        return len(self.plan.stages)

    def as_data(self) -> dict[str, object]:
        """Return it as plain data for JSON."""
        return {name: getattr(self, name) for name in ("ladder", "stage", "stages", "title", "aim", "trap", "moves")}
