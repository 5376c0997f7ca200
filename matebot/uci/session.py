"""The session as a machine without input or output: lines in, effects out.

Two rules: every change of state is in this file, and this file never knows how long anything takes.

Questions stand in a row and are answered in the order of asking; each ``go`` gets exactly one ``bestmove``. A
question asked with ``infinite`` or ``ponder`` is held: its answer may come, but is kept until a word lets it out. Such
a word is ``stop``, ``ponderhit`` for one that ponders, and also the next ``go``, so only the last question of the row
can be held. Words at the wrong time are ignored, as the protocol asks.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from enum import Enum, auto

from matebot import __version__
from matebot.records import dataclass
from matebot.uci import messages as m
from matebot.uci.options import OPTIONS, accept
from matebot.uci.parser import parse
from matebot.uci.partnership import Answer, Question, Report
from matebot.uci.writer import best_move, info_string, report_lines


@dataclass(frozen=True, slots=True)
class Send:
    """A line for the interface."""

    text: str


@dataclass(frozen=True, slots=True)
class Warm:
    """The worker should get ready and then say so (`Session.warmed`)."""


@dataclass(frozen=True, slots=True)
class Choose:
    """An option for the partner."""

    name: str
    value: str | int | bool


@dataclass(frozen=True, slots=True)
class Forget:
    """A new game begins."""


@dataclass(frozen=True, slots=True)
class Place:
    """A position for the partner."""

    fen: str | None
    moves: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Think:
    """A question for the partner, numbered from 1."""

    question: Question
    number: int


@dataclass(frozen=True, slots=True)
class Halt:
    """The partner should come to an end with the questions of these numbers."""

    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RunClock:
    """The opponent has moved as expected: from now on time counts for the questions of these numbers."""

    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Leave:
    """The session is over, but for the questions still open; after ``quit`` they are not waited for long."""

    hurried: bool


Effect = Send | Warm | Choose | Forget | Place | Think | Halt | RunClock | Leave


class State(Enum):
    """Where the session is with the first of its open questions."""

    IDLE = auto()
    THINKING = auto()
    HELD = auto()
    PONDERING = auto()
    KEPT = auto()
    KEPT_PONDERING = auto()


class WaitsFor(Enum):
    """Which word of the interface a question waits for, apart from the next ``go``."""

    NOTHING = auto()
    STOP = auto()
    STOP_OR_HIT = auto()


#: What a question waits for -> the state without an answer and with one, which is told at once if nothing is held.
_STATES = {
    WaitsFor.NOTHING: (State.THINKING, State.THINKING),
    WaitsFor.STOP: (State.HELD, State.KEPT),
    WaitsFor.STOP_OR_HIT: (State.PONDERING, State.KEPT_PONDERING),
}
_EXCUSE = "the session ended before the answer was found"


@dataclass(slots=True)
class _Turn:
    """A question in the order of asking; `numbered` tells whether its lines carry numbers."""

    number: int
    hold: WaitsFor
    numbered: bool
    answer: Answer | None = None


class Session:
    """The state of one conversation with an interface."""

    def __init__(self) -> None:
        self._turns: deque[_Turn] = deque()
        self._asked = 0
        self._warming = 0
        self._numbered = False  # for the next question
        self._handlers: dict[type, Callable[..., list[Effect]]] = {
            m.Uci: lambda command: _introduction(),
            m.Debug: lambda command: [],
            m.IsReady: lambda command: self._is_ready(),
            m.SetOption: self._set_option,
            m.Register: lambda command: [],
            m.NewGame: lambda command: [Forget()],
            m.Position: lambda command: [Place(command.fen, command.moves)],
            m.Go: self._go,
            m.Stop: lambda command: self._stop(),
            m.PonderHit: lambda command: self._ponder_hit(),
            m.Quit: lambda command: self._leave(hurried=True),
        }

    @property
    def state(self) -> State:
        """Where the session is with the first of its open questions."""
        if not self._turns:
            return State.IDLE
        turn = self._turns[0]
        return _STATES[turn.hold][turn.answer is not None]

    def receive(self, line: str) -> list[Effect]:
        """Take a line from the interface and return what follows from it."""
        command = parse(line)
        return [] if command is None else self._handlers[type(command)](command)

    def closed(self) -> list[Effect]:
        """Take the end of input: nothing is held back any more, and what is asked is answered in full."""
        return self._leave(hurried=False)

    def broken_off(self) -> list[Effect]:
        """Answer what is still open when the session ends before the partner has."""
        excuses = [Send(info_string(_EXCUSE)), Send("bestmove 0000")] * len(self._turns)
        self._turns.clear()
        return [*[Send("readyok")] * self._warming, *excuses]

    def warmed(self) -> list[Effect]:
        """Take the news that the partner has done all it was told before it was asked whether it is ready."""
        self._warming -= 1
        return [Send("readyok")]

    def reported(self, report: Report) -> list[Effect]:
        """Take news from the partner."""
        turn = self._unanswered()
        return [Send(text) for text in report_lines(report, turn is not None and turn.numbered)]

    def answered(self, answer: Answer) -> list[Effect]:
        """Take the partner's answer to the first question without one; it is kept back while it is held."""
        news, turn = self.reported(answer.report), self._unanswered()
        if turn is not None:
            turn.answer = answer
        return [*news, *self._tell()]

    def _unanswered(self) -> _Turn | None:
        return next((turn for turn in self._turns if turn.answer is None), None)

    def _is_ready(self) -> list[Effect]:
        """Answer at once while a question is open, else when all that was said before is done."""
        if self._turns:
            return [Send("readyok")]
        self._warming += 1
        return [Warm()]

    def _set_option(self, command: m.SetOption) -> list[Effect]:
        try:
            option, value = accept(command.name, command.value)
        except ValueError as fault:
            return [Send(info_string(str(fault)))]
        if option.name == "MultiPV":
            self._numbered = int(value) > 1
        return [Choose(option.name, value)]

    def _go(self, command: m.Go) -> list[Effect]:
        question = command.question
        hold = WaitsFor.STOP if question.infinite else WaitsFor.STOP_OR_HIT if question.ponder else WaitsFor.NOTHING
        before = self._let_go(WaitsFor.STOP, WaitsFor.STOP_OR_HIT, halt=True)
        self._asked += 1
        self._turns.append(_Turn(self._asked, hold, self._numbered))
        return [*before, Think(question, self._asked)]

    def _stop(self) -> list[Effect]:
        """Let everything out; questions that wait their turn are to be answered at once too."""
        return self._let_go(*WaitsFor, halt=True)

    def _ponder_hit(self) -> list[Effect]:
        """Let out what was pondered on; an answer that was kept is shown again, where it belongs."""
        lines: list[Effect] = [
            Send(text)
            for turn in self._turns
            if turn.hold is WaitsFor.STOP_OR_HIT and turn.answer is not None
            for text in report_lines(Report((), turn.answer.report.lines), turn.numbered)
        ]
        return [*lines, *self._let_go(WaitsFor.STOP_OR_HIT, halt=False)]

    def _leave(self, hurried: bool) -> list[Effect]:
        return [*self._let_go(WaitsFor.STOP, WaitsFor.STOP_OR_HIT, halt=True), Leave(hurried)]

    def _let_go(self, *holds: WaitsFor, halt: bool) -> list[Effect]:
        """Hold back no question of these kinds any more, and make the partner end with them or mind the time."""
        freed = [turn for turn in self._turns if turn.hold in holds]
        for turn in freed:
            turn.hold = WaitsFor.NOTHING
        numbers = tuple(turn.number for turn in freed if turn.answer is None)
        effects: list[Effect] = [Halt(numbers) if halt else RunClock(numbers)] if numbers else []
        return [*effects, *self._tell()]

    def _tell(self) -> list[Effect]:
        """Tell the answers that nothing holds back, in the order of asking."""
        told: list[Effect] = []
        while self._turns and self._turns[0].hold is WaitsFor.NOTHING and self._turns[0].answer is not None:
            told.append(Send(best_move(self._turns[0].answer)))
            self._turns.popleft()
        return told


def _introduction() -> list[Effect]:
    lines = [f"id name matebot {__version__}", "id author the makers of matebot"]
    lines += [option.declaration() for option in OPTIONS]
    return [Send(text) for text in (*lines, "uciok")]
