"""The measures of an assessment: one table, name -> part, what it says, and how it is counted from the results.

A share is between 0 and 1; a measure without anything to measure is None.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from statistics import fmean
from typing import NamedTuple

from matebot.assess.judging.results import AGAINST, ENGINE, FAULTS, WIN_CENTIPAWNS, GameResult, QuestionResult, Result
from matebot.records import dataclass

AGAINST_PREFIX = "against_"
#: Why a win became a draw -> the measure that counts it; anything else is counted as "other".
DRAWS = {
    "fifty moves": "draws_fifty_moves",
    "stalemate": "draws_stalemate",
    "repetition": "draws_repetition",
    "lost piece": "draws_lost_piece",
}


@dataclass(frozen=True, slots=True)
class PlayerResults:
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

    @property
    def faults(self) -> list[str]:
        """The kinds of the player's faults."""
        return [fault.kind for result in self.results for fault in result.faults if fault.player == self.player]

    @property
    def false_mates(self) -> list[bool]:
        """For each mate announced in games that was not there, and for each question, whether it was such."""
        games = [game for game in self.results if isinstance(game, GameResult)]
        announced = [True for game in games for one in game.false_mates if one.player == self.player]
        return announced + [question.false_mate for question in self.questions]

    def _games(self, goal: str) -> list[GameResult]:
        return [r for r in self.results if isinstance(r, GameResult) and r.player == self.player and r.goal == goal]


class Measured(NamedTuple):
    """What came of a measure, None without anything to measure, and how many things it was measured over."""

    value: float | None
    over: int


#: Kind of measure -> how the numbers found for it are made one. A share is of things that are so or not; a count is 0
#: where nothing was found.
KINDS: dict[str, Callable[[Sequence[float]], float | None]] = {
    "share": lambda numbers: fmean(numbers) if numbers else None,
    "mean": lambda numbers: fmean(numbers) if numbers else None,
    "most": lambda numbers: max(numbers, default=None),
    "count": sum,
}


@dataclass(frozen=True, slots=True)
class Measure:
    """A number made from results.

    Attributes
    ----------
    parts : the parts that show it, none where every part does
    kind : one of `KINDS`
    text : what it says
    numbers : finds what it is made of
    """

    parts: tuple[str, ...]
    kind: str
    text: str
    numbers: Callable[[PlayerResults], Iterable[float]]

    def of(self, found: PlayerResults) -> Measured:
        """Measure the results of a player."""
        numbers = list(self.numbers(found))
        return Measured(KINDS[self.kind](numbers), len(numbers))


def _excess(games: Iterable[GameResult]) -> list[int]:
    return [game.excess_moves for game in games if game.excess_moves is not None]


def _draws(measure: str) -> Callable[[PlayerResults], Iterable[float]]:
    def found(found: PlayerResults) -> Iterable[float]:
        drawn = (game for game in found.attacks if game.result == "drawn")
        return (DRAWS.get(game.cause, "draws_other") == measure for game in drawn)

    return found


def _faults(kind: str) -> Callable[[PlayerResults], Iterable[float]]:
    return lambda found: (kind == one for one in found.faults)


_ATTACK, _DEFENCE, _ANALYSIS = ("attack",), ("defence",), ("analysis",)
MEASURES: dict[str, Measure] = {
    "games": Measure(_ATTACK, "count", "games to be won", lambda f: (1 for _ in f.attacks)),
    "wins": Measure(_ATTACK, "share", "share of them won", lambda f: (g.success for g in f.attacks)),
    "excess_moves_mean": Measure(_ATTACK, "mean", "moves over the shortest mate, mean", lambda f: _excess(f.attacks)),
    "excess_moves_max": Measure(_ATTACK, "most", "most moves over it", lambda f: _excess(f.attacks)),
    **{name: Measure(_ATTACK, "count", f"won games drawn: {why}", _draws(name)) for why, name in DRAWS.items()},
    "draws_other": Measure(_ATTACK, "count", "won games drawn otherwise", _draws("draws_other")),
    "losses": Measure(
        _ATTACK, "count", "won games lost, by faults too", lambda f: (g.result == "lost" for g in f.attacks)
    ),
    "defences": Measure(_DEFENCE, "count", "games to be defended", lambda f: (1 for _ in [*f.holds, *f.lasts])),
    "held": Measure(_DEFENCE, "share", "share of drawn positions held", lambda f: (g.success for g in f.holds)),
    "shortfall_moves_mean": Measure(_DEFENCE, "mean", "moves mated too soon, mean", lambda f: _excess(f.lasts)),
    "shortfall_moves_max": Measure(_DEFENCE, "most", "most moves too soon", lambda f: _excess(f.lasts)),
    "questions": Measure(_ANALYSIS, "count", "questions", lambda f: (1 for _ in f.questions)),
    "right_answers": Measure(_ANALYSIS, "share", "share without objection", lambda f: (q.success for q in f.questions)),
    "wrong_outcomes": Measure(
        _ANALYSIS,
        "count",
        f"scores of a wrong outcome ({WIN_CENTIPAWNS} cp claim a win)",
        lambda f: (q.wrong_outcome for q in f.questions),
    ),
    "false_mates": Measure(
        (*_ATTACK, *_DEFENCE, *_ANALYSIS), "count", "mates announced, not there", lambda f: f.false_mates
    ),
    "late_mates": Measure(_ANALYSIS, "count", "mates announced too late", lambda f: (q.late_mate for q in f.questions)),
    "thrown_moves": Measure(
        _ANALYSIS, "count", "moves throwing the outcome", lambda f: (q.thrown for q in f.questions)
    ),
    "faults": Measure((), "count", "faults of conduct", lambda f: (1 for _ in f.faults)),
    **{kind.replace(" ", "_") + "_faults": Measure((), "count", kind, _faults(kind)) for kind in FAULTS},
}


def measured(results: Sequence[Result], parts: Sequence[str], against: bool) -> dict[str, Measured]:
    """Return every measure of the parts that were run; with a second engine also its own, prefixed."""
    players = {ENGINE: "", **({AGAINST: AGAINST_PREFIX} if against else {})}
    return {
        prefix + name: measure.of(PlayerResults(player, results))
        for player, prefix in players.items()
        for name, measure in MEASURES.items()
        if not measure.parts or set(measure.parts) & set(parts)
    }
