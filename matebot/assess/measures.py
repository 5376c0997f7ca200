"""The measures of an assessment: one table, name -> part, what it says, and how it is counted from the results.

A share is between 0 and 1; a measure without anything to measure is None.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean

from matebot.assess.results import AGAINST, ENGINE, FAULTS, GameResult, QuestionResult, Result

AGAINST_PREFIX = "against_"
#: Why a win became a draw -> the measure that counts it; anything else is counted as "other".
DRAWS = {
    "fifty moves": "draws_fifty_moves",
    "stalemate": "draws_stalemate",
    "repetition": "draws_repetition",
    "lost piece": "draws_lost_piece",
}


@dataclass(frozen=True, slots=True)
class Found:
    """The results of one player."""

    player: str
    results: Sequence[Result]

    @property
    def attacks(self) -> list[GameResult]:
        """Games to be won."""
        return self._games("win")

    @property
    def holds(self) -> list[GameResult]:
        """Games to be held."""
        return self._games("hold")

    @property
    def lasts(self) -> list[GameResult]:
        """Games to be lost as late as possible."""
        return self._games("last")

    @property
    def questions(self) -> list[QuestionResult]:
        """Questions answered."""
        return [r for r in self.results if isinstance(r, QuestionResult) and r.player == self.player]

    def faults(self, kind: str | None = None) -> int:
        """Count the player's faults, of one kind or all."""
        found = (fault for result in self.results for fault in result.faults if fault.player == self.player)
        return sum(1 for fault in found if kind is None or fault.kind == kind)

    def _games(self, goal: str) -> list[GameResult]:
        return [r for r in self.results if isinstance(r, GameResult) and r.player == self.player and r.goal == goal]


@dataclass(frozen=True, slots=True)
class Measure:
    """A number counted from results; `part` is "" for what every part may show."""

    part: str
    text: str
    count: Callable[[Found], float | None]


def _share(truths: Iterable[bool]) -> float | None:
    found = list(truths)
    return fmean(found) if found else None


def _excess(games: Iterable[GameResult]) -> list[int]:
    return [game.excess_moves for game in games if game.excess_moves is not None]


def _mean(numbers: Sequence[int]) -> float | None:
    return fmean(numbers) if numbers else None


def _draws(measure: str) -> Callable[[Found], float]:
    def count(found: Found) -> float:
        drawn = [game for game in found.attacks if game.result == "drawn"]
        return sum(1 for game in drawn if DRAWS.get(game.cause, "draws_other") == measure)

    return count


def _faults(kind: str) -> Callable[[Found], float]:
    return lambda found: found.faults(kind)


def _losses(found: Found) -> float:
    return sum(1 for game in found.attacks if game.result == "lost")


MEASURES: dict[str, Measure] = {
    "games": Measure("attack", "games to be won", lambda f: len(f.attacks)),
    "wins": Measure("attack", "share of them won", lambda f: _share(g.success for g in f.attacks)),
    "excess_moves_mean": Measure("attack", "moves over the shortest mate, mean", lambda f: _mean(_excess(f.attacks))),
    "excess_moves_max": Measure("attack", "most moves over it", lambda f: max(_excess(f.attacks), default=None)),
    **{name: Measure("attack", f"won games drawn: {why}", _draws(name)) for why, name in DRAWS.items()},
    "draws_other": Measure("attack", "won games drawn otherwise", _draws("draws_other")),
    "losses": Measure("attack", "won games lost, by faults too", _losses),
    "defences": Measure("defence", "games to be defended", lambda f: len(f.holds) + len(f.lasts)),
    "held": Measure("defence", "share of drawn positions held", lambda f: _share(g.success for g in f.holds)),
    "shortfall_moves_mean": Measure("defence", "moves mated too soon, mean", lambda f: _mean(_excess(f.lasts))),
    "shortfall_moves_max": Measure("defence", "most moves too soon", lambda f: max(_excess(f.lasts), default=None)),
    "questions": Measure("analysis", "questions", lambda f: len(f.questions)),
    "right_answers": Measure("analysis", "share without objection", lambda f: _share(q.success for q in f.questions)),
    "wrong_outcomes": Measure(
        "analysis", "scores of a wrong outcome", lambda f: sum(q.wrong_outcome for q in f.questions)
    ),
    "false_mates": Measure("analysis", "mates announced, not there", lambda f: sum(q.false_mate for q in f.questions)),
    "late_mates": Measure("analysis", "mates announced too late", lambda f: sum(q.late_mate for q in f.questions)),
    "thrown_moves": Measure("analysis", "moves throwing the outcome", lambda f: sum(q.thrown for q in f.questions)),
    "faults": Measure("", "faults of conduct", lambda f: f.faults()),
    **{kind.replace(" ", "_") + "_faults": Measure("", kind, _faults(kind)) for kind in FAULTS},
}


def measured(results: Sequence[Result], parts: Sequence[str], against: bool) -> dict[str, float | None]:
    """Return every measure of the parts that were run; with a second engine also its own, prefixed."""
    players = {ENGINE: "", **({AGAINST: AGAINST_PREFIX} if against else {})}
    return {
        prefix + name: measure.count(Found(player, results))
        for player, prefix in players.items()
        for name, measure in MEASURES.items()
        if not measure.part or measure.part in parts
    }
