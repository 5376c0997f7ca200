"""A report: the plan, what it was run with, what was found so far, and what follows from it."""

from __future__ import annotations

import platform
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field

import chess

from matebot import __version__
from matebot.assess.judging.measures import Measured, measured
from matebot.assess.judging.requirements import Requirement
from matebot.assess.judging.results import GameResult, QuestionResult, Result
from matebot.assess.plans.plan import AssessmentPlan
from matebot.assess.plans.suite import Skipped
from matebot.records import dataclass


def versions() -> dict[str, str]:
    """Return the versions that bear on a run."""
    return {"matebot": __version__, "python": platform.python_version(), "chess": chess.__version__}


@dataclass(slots=True)
class AssessmentReport:
    """Grows while an assessment runs.

    Attributes
    ----------
    engines : player -> what the engine says of itself, and its command line
    suite_sha256 : checksum of the suite, "" without one
    skipped : lines of the suite left out
    tasks : how many games, questions and probes the plan makes
    """

    plan: AssessmentPlan
    engines: Mapping[str, Mapping[str, str]]
    suite_sha256: str
    skipped: tuple[Skipped, ...]
    tasks: int
    versions: Mapping[str, str] = field(default_factory=versions)
    results: list[Result] = field(default_factory=list)

    @property
    def complete(self) -> bool:
        """Whether everything planned has been run."""
        return len(self.results) >= self.tasks

    @property
    def games(self) -> list[GameResult]:
        """The games, in the order they ended."""
        return [item for item in self.results if isinstance(item, GameResult)]

    @property
    def questions(self) -> list[QuestionResult]:
        """The questions."""
        return [item for item in self.results if isinstance(item, QuestionResult)]

    def measured(self) -> dict[str, Measured]:
        """Return every measure."""
        return measured(self.results, self.plan.parts, bool(self.plan.against))

    def requirements(self) -> list[tuple[Requirement, Measured, bool | None]]:
        """Return every requirement with what was measured and whether it holds, None without anything to measure."""
        values = self.measured()
        wanted = [Requirement.parse(text, self.plan.parts, bool(self.plan.against)) for text in self.plan.require]
        return [(item, values[item.measure], item.holds(values[item.measure].value)) for item in wanted]

    def name(self, player: str) -> str:
        """Return the name of a player."""
        about = self.engines.get(player, {})
        return about.get("name") or about.get("command") or player


def number(value: float | None) -> str:
    """Write a measure: counts without decimals, means and shares with three, nothing measured as a dash."""
    if value is None:
        return "-"
    return f"{value:.0f}" if float(value).is_integer() else f"{value:.3f}"


def quantity(kind: str, found: Measured) -> str:
    """Write what was measured with what it was measured over: ``0.950 (19 of 20)``, ``1.500 (over 12)``."""
    text = number(found.value)
    if found.value is None or kind not in ("share", "mean"):
        return text
    of = f"{round(found.value * found.over)} of" if kind == "share" else "over"
    return f"{text} ({of} {found.over})"


def stages(games: Sequence[GameResult]) -> dict[tuple[str, str], tuple[int, int]]:
    """Return ending and stage of the method -> wins thrown away there, moves lost there; "" without a stage."""
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for game in games:
        if game.goal != "win":
            continue
        for slip in game.slips:
            where = game.ending, slip.stage
            thrown, lost = found.get(where, (0, 0))
            found[where] = (thrown + (slip.moves_lost is None), lost + (slip.moves_lost or 0))
    return found


@dataclass(frozen=True, slots=True)
class Form:
    """A form of a report: the ending of its files' names, and what writes one."""

    ending: str
    text: Callable[[AssessmentReport], str]


def first_faults(results: Sequence[Result], player: str) -> dict[str, tuple[int, str]]:
    """Return kind of fault -> how often the player committed it, and where and what the first one was."""
    found: dict[str, tuple[int, str]] = {}
    for result in results:
        for fault in result.faults:
            if fault.player == player:
                count, text = found.get(fault.kind, (0, f"{result.task}, move {fault.move}: {fault.text}"))
                found[fault.kind] = (count + 1, text)
    return found
