"""What an assessment finds, as data: faults, slips, games, questions and probes; no rules and no text for people.

The result of a task has a form of JSON values, ``as_data``, and comes back from it by ``from_data``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from matebot.records import dataclass

PARTS = ("attack", "defence", "analysis", "conduct")
#: From this score on a win is claimed for the side it speaks for, as by an announced mate; below it a draw is.
WIN_CENTIPAWNS = 200
#: The players an assessment may name.
ENGINE, AGAINST, OWN = "engine", "against", "matebot"
#: Faults of conduct, worst first. Those before the overrun end a game.
FAULTS = (
    "crash",
    "hang",
    "illegal move",
    "no move",
    "flag fall",
    "time overrun",
    "ignored stop",
    "early answer",
    "not ready",
    "unasked answer",
    "rubbish",
)


@dataclass(frozen=True, slots=True)
class Fault:
    """A breach of the protocol or of the clock.

    Attributes
    ----------
    kind : one of `FAULTS`
    player : `ENGINE` or `AGAINST`
    move : number of the player's move or answer in its game, 1 the first
    text : what was expected and what came
    """

    kind: str
    player: str
    move: int
    text: str


@dataclass(frozen=True, slots=True)
class Slip:
    """A move that cost something.

    Attributes
    ----------
    ply : number of the move in the game, 1 the first
    san, best : the move and the best one in SAN
    stage : the stage of the method it was made in, "" where the method has no say
    before, after : 1, 0 or -1 for the mover
    moves_lost : moves the mate came later (attack) or sooner (defence); None when the outcome changed
    cause : why the outcome changed: a cause of the laws, "lost piece" or "drawn position"; "" otherwise
    """

    ply: int
    san: str
    best: str
    stage: str
    before: int
    after: int
    moves_lost: int | None
    cause: str


@dataclass(frozen=True, slots=True)
class FalseMate:
    """A mate announced in a game that does not exist, or sooner than it can be.

    Attributes
    ----------
    player : who announced it
    move : number of the player's move in its game, 1 the first
    score : the engine's score as it stands in its answer, "mate 3"
    truth : the true one, "mate 5" or "drawn"
    """

    player: str
    move: int
    score: str
    truth: str


@dataclass(frozen=True, slots=True)
class GameResult:
    """A game played out or decided.

    Attributes
    ----------
    task, part, ending, fen : which game it is
    goal : "win", "hold" (a draw) or "last" (lose as late as possible)
    player, opponent : who is judged by this game, and the other side
    colour : "white" or "black", the side of `player`
    moves : the moves in long algebraic form
    result : "won", "drawn" or "lost" for `player`
    cause : why, in a few words
    success : whether the goal was reached
    shortest_moves : moves to mate with best play from the start, None when drawn
    played_moves : moves the mating side made, None without a mate
    excess_moves : moves the player gave away: over the shortest (goal "win") or short of the longest (goal "last"),
        whatever the other side gave away; None without a mate
    slips, faults : of `player`, and faults of both
    false_mates : announced by either
    """

    task: str
    part: str
    ending: str
    fen: str
    goal: str
    player: str
    opponent: str
    colour: str
    moves: tuple[str, ...]
    result: str
    cause: str
    success: bool
    shortest_moves: int | None
    played_moves: int | None
    excess_moves: int | None
    slips: tuple[Slip, ...]
    faults: tuple[Fault, ...]
    false_mates: tuple[FalseMate, ...]
    seconds: float

    def as_data(self) -> dict[str, Any]:
        """Return the result as JSON values."""
        return asdict(self)

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> GameResult:
        """Return the result behind JSON values."""
        return cls(**{**data, "moves": tuple(data["moves"]), **_nested(data)})


@dataclass(frozen=True, slots=True)
class QuestionResult:
    """An answer to a question about a position.

    Attributes
    ----------
    outcome : the truth for the side to move: 1, 0 or -1
    mate_moves : true moves to mate, None when drawn
    exact : whether `mate_moves` is exact; otherwise mate comes no later
    score : the engine's score as it stands in its answer, "cp 13" or "mate -4"; "" when it gave none
    claim : the outcome that score claims, None without one
    move, best : the engine's move and the best one, long algebraic form
    wrong_outcome : the claim is not the truth
    false_mate : a mate announced that does not exist, or sooner than it can be
    late_mate : a mate announced later than it can be
    thrown : the move gives the outcome away
    """

    task: str
    ending: str
    fen: str
    player: str
    outcome: int
    mate_moves: int | None
    exact: bool
    score: str
    claim: int | None
    move: str
    best: str
    wrong_outcome: bool
    false_mate: bool
    late_mate: bool
    thrown: bool
    faults: tuple[Fault, ...]
    seconds: float

    @property
    def success(self) -> bool:
        """Whether nothing is to be said against the answer."""
        return not (self.wrong_outcome or self.false_mate or self.late_mate or self.thrown or ends(self.faults))

    def as_data(self) -> dict[str, Any]:
        """Return the result as JSON values."""
        return asdict(self)

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> QuestionResult:
        """Return the result behind JSON values."""
        return cls(**{**data, "faults": _faults(data)})


@dataclass(frozen=True, slots=True)
class ProbeResult:
    """A probe of conduct: what was tried, what came, and the faults found."""

    task: str
    name: str
    player: str
    answer: str
    faults: tuple[Fault, ...]
    seconds: float

    @property
    def success(self) -> bool:
        """Whether no fault was found."""
        return not self.faults

    def as_data(self) -> dict[str, Any]:
        """Return the result as JSON values."""
        return asdict(self)

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> ProbeResult:
        """Return the result behind JSON values."""
        return cls(**{**data, "faults": _faults(data)})


Result = GameResult | QuestionResult | ProbeResult


def ends(faults: tuple[Fault, ...]) -> bool:
    """Whether one of the faults leaves the question without a valid move."""
    return any(FAULTS.index(fault.kind) < FAULTS.index("time overrun") for fault in faults)


def _faults(data: Mapping[str, Any]) -> tuple[Fault, ...]:
    return tuple(Fault(**item) for item in data["faults"])


def _nested(data: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "slips": tuple(Slip(**item) for item in data["slips"]),
        "faults": _faults(data),
        "false_mates": tuple(FalseMate(**item) for item in data["false_mates"]),
    }
