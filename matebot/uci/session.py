"""The session as a machine without input or output: lines in, effects out.

Two rules: every change of state is in this file, and this file never knows how long anything takes. A question is
``THINKING`` until its answer is here; with ``infinite`` or ``ponder`` it is ``WAITING`` for the word that lets the
answer out, and ``ANSWERED`` when the answer came first. A plain ``go`` during ``THINKING`` waits its turn. So each
``go`` that is not refused gets exactly one ``bestmove``::

    IDLE --go--> THINKING --answer--> IDLE
    IDLE --go infinite|ponder--> WAITING --answer--> ANSWERED --stop|ponderhit--> IDLE
                                 WAITING --stop|ponderhit--> THINKING
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto

from matebot import __version__
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
    """The worker should get ready."""


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
    """A question for the partner."""

    question: Question


@dataclass(frozen=True, slots=True)
class Halt:
    """The partner should come to an end."""


@dataclass(frozen=True, slots=True)
class Leave:
    """The session is over."""


Effect = Send | Warm | Choose | Forget | Place | Think | Halt | Leave


class State(Enum):
    """Where the session is with its question."""

    IDLE = auto()
    THINKING = auto()
    WAITING = auto()
    ANSWERED = auto()


class Session:
    """The state of one conversation with an interface."""

    def __init__(self) -> None:
        self.state = State.IDLE
        self._pondering = False
        self._answer: Answer | None = None
        self._later: deque[Question] = deque()
        self._handlers: dict[type, Callable[..., list[Effect]]] = {
            m.Uci: self._uci,
            m.Debug: lambda command: [],
            m.IsReady: lambda command: [Send("readyok"), Warm()],
            m.SetOption: self._set_option,
            m.Register: lambda command: [],
            m.NewGame: lambda command: [Forget()],
            m.Position: lambda command: [Place(command.fen, command.moves)],
            m.Go: self._go,
            m.Stop: self._stop,
            m.PonderHit: self._ponder_hit,
            m.Quit: lambda command: [Halt(), Leave()],
        }

    def receive(self, line: str) -> list[Effect]:
        """Take a line from the interface and return what follows from it."""
        command = parse(line)
        return [] if command is None else self._handlers[type(command)](command)

    def reported(self, report: Report) -> list[Effect]:
        """Take news from the partner."""
        return [Send(text) for text in report_lines(report)]

    def answered(self, answer: Answer) -> list[Effect]:
        """Take the partner's answer; it is kept back while the interface wants it so."""
        effects = self.reported(answer.report)
        if self.state is State.WAITING:
            self.state, self._answer = State.ANSWERED, answer
            return effects
        self._next()
        return [*effects, Send(best_move(answer))]

    def _uci(self, command: m.Uci) -> list[Effect]:
        lines = [f"id name matebot {__version__}", "id author the matebot developers"]
        lines += [option.declaration() for option in OPTIONS]
        return [Send(text) for text in (*lines, "uciok")]

    def _set_option(self, command: m.SetOption) -> list[Effect]:
        try:
            option, value = accept(command.name, command.value)
        except ValueError as fault:
            return [Send(info_string(str(fault)))]
        return [Choose(option.name, value)]

    def _go(self, command: m.Go) -> list[Effect]:
        if self.state in (State.WAITING, State.ANSWERED):
            return [Send(info_string("expected stop or ponderhit before another go: this go is ignored"))]
        self._later.append(command.question)
        if self.state is State.IDLE:
            self._next()
        return [Think(command.question)]

    def _next(self) -> None:
        """Turn to the next question, if there is one."""
        self.state = State.IDLE
        if self._later:
            question = self._later.popleft()
            self._pondering = question.ponder
            self.state = State.WAITING if question.infinite or question.ponder else State.THINKING

    def _stop(self, command: m.Stop) -> list[Effect]:
        if self.state is State.THINKING:
            return [Halt()]
        if self.state is State.WAITING:
            self.state = State.THINKING
            return [Halt()]
        return self._let_out()

    def _ponder_hit(self, command: m.PonderHit) -> list[Effect]:
        if not self._pondering:
            return []
        if self.state is State.WAITING:
            self.state = State.THINKING
            return []
        return self._let_out()

    def _let_out(self) -> list[Effect]:
        if self.state is not State.ANSWERED or self._answer is None:
            return []
        answer, self._answer = self._answer, None
        self._next()
        return [Send(best_move(answer))]
