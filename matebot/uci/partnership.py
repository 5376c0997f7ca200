"""What the session and the partner behind it say to each other: questions, reports and answers as plain data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field
from typing import Protocol

from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Question:
    """What a ``go`` asks; None where it sets no limit."""

    search_moves: tuple[str, ...] = ()
    depth: int | None = None
    nodes: int | None = None
    mate: int | None = None
    movetime_ms: int | None = None
    white_ms: int | None = None
    black_ms: int | None = None
    white_increment_ms: int | None = None
    black_increment_ms: int | None = None
    moves_to_go: int | None = None
    infinite: bool = False
    ponder: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of play with its score; `score_kind` is "mate" (in moves) or "cp"."""

    depth: int
    seldepth: int | None
    score_kind: str
    score_value: int
    bound: str | None
    time_ms: int
    nodes: int
    tbhits: int
    pv: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """Something to show: sentences first, then lines, the best first."""

    notices: tuple[str, ...] = ()
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """The end of a question: the move (None where there is none to give) and the last report."""

    best: str | None
    ponder: str | None = None
    report: Report = field(default_factory=Report)


def _never() -> bool:
    return False


@dataclass(slots=True)
class Watch:
    """What the interface wants of a question it has asked; asked again and again while the answer is worked out.

    Attributes
    ----------
    stopped : whether the answer is wanted now
    untimed : whether no limit of time holds: while the opponent's move is awaited, and after the end of input
    asked_at : since when a limit of time counts, seconds of `time.monotonic`; None for when the partner turns to it
    """

    stopped: Callable[[], bool] = _never
    untimed: Callable[[], bool] = _never
    asked_at: Callable[[], float | None] = lambda: None


class Partner(Protocol):
    """Who answers the questions."""

    def set_option(self, name: str, value: str | int | bool) -> list[str]:
        """Take a value that the session has accepted; return what there is to say."""
        ...

    def new_game(self) -> None:
        """Forget the game in hand."""
        ...

    def set_position(self, fen: str | None, moves: Sequence[str]) -> str | None:
        """Take a position; return why it is refused, or None."""
        ...

    def go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        """Answer a question about the position."""
        ...

    def finish(self, seconds: float) -> None:
        """Put away what is worth keeping, in about so much time; nothing is asked any more."""
        ...

    def rest(self, wanted: Callable[[], bool]) -> None:
        """Use the time while nothing is asked; `wanted` tells when it is over."""
        ...
