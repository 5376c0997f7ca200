"""The session as a machine without input or output: lines in, effects out.

Two rules: every change of state is in this file, and this file never knows how long anything takes.

A question is ``THINKING`` until its answer is here. With ``infinite`` or ``ponder`` it is ``HELD`` or ``PONDERING``:
the answer may come, but is kept (``KEPT``, ``KEPT_PONDERING``) until the word that lets it out. A ``go`` during
``THINKING`` waits its turn, since that turn is sure to come; where the turn depends on a word of the interface, a
``go`` is refused. So each ``go`` that is not refused gets exactly one ``bestmove``. What `_TABLE` does not list is
a word at the wrong time and is ignored, as the protocol asks.
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
    """The partner should come to an end with every question it has been asked."""


@dataclass(frozen=True, slots=True)
class Leave:
    """The session is over; a question that needs no further word may still be answered."""


Effect = Send | Warm | Choose | Forget | Place | Think | Halt | Leave


class State(Enum):
    """Where the session is with its question."""

    IDLE = auto()
    THINKING = auto()
    HELD = auto()
    PONDERING = auto()
    KEPT = auto()
    KEPT_PONDERING = auto()


class Event(Enum):
    """What can change the state: the three kinds of ``go``, the words that let an answer out, and the answer."""

    GO = auto()
    GO_INFINITE = auto()
    GO_PONDER = auto()
    STOP = auto()
    PONDER_HIT = auto()
    ANSWER = auto()


class Action(Enum):
    """What is done on the way to the next state."""

    TURN = auto()  # turn to the question
    QUEUE = auto()  # let the question wait for its turn
    REFUSE = auto()  # do not ask the question
    HALT = auto()  # make the partner end, and hold back nothing asked so far
    RELEASE = auto()  # hold back no question that was asked while pondering
    KEEP = auto()  # keep the answer
    TELL = auto()  # tell the answer, then take the next question
    TELL_KEPT = auto()  # tell the answer that was kept, then take the next question


_TABLE: dict[tuple[State, Event], tuple[State, Action]] = {
    (State.IDLE, Event.GO): (State.THINKING, Action.TURN),
    (State.IDLE, Event.GO_INFINITE): (State.HELD, Action.TURN),
    (State.IDLE, Event.GO_PONDER): (State.PONDERING, Action.TURN),
    (State.THINKING, Event.GO): (State.THINKING, Action.QUEUE),
    (State.THINKING, Event.GO_INFINITE): (State.THINKING, Action.QUEUE),
    (State.THINKING, Event.GO_PONDER): (State.THINKING, Action.QUEUE),
    (State.THINKING, Event.STOP): (State.THINKING, Action.HALT),
    (State.THINKING, Event.PONDER_HIT): (State.THINKING, Action.RELEASE),
    (State.THINKING, Event.ANSWER): (State.IDLE, Action.TELL),
    **{
        (state, go): (state, Action.REFUSE)
        for state in (State.HELD, State.PONDERING, State.KEPT, State.KEPT_PONDERING)
        for go in (Event.GO, Event.GO_INFINITE, Event.GO_PONDER)
    },
    (State.HELD, Event.STOP): (State.THINKING, Action.HALT),
    (State.HELD, Event.ANSWER): (State.KEPT, Action.KEEP),
    (State.PONDERING, Event.STOP): (State.THINKING, Action.HALT),
    (State.PONDERING, Event.PONDER_HIT): (State.THINKING, Action.RELEASE),
    (State.PONDERING, Event.ANSWER): (State.KEPT_PONDERING, Action.KEEP),
    (State.KEPT, Event.STOP): (State.IDLE, Action.TELL_KEPT),
    (State.KEPT_PONDERING, Event.STOP): (State.IDLE, Action.TELL_KEPT),
    (State.KEPT_PONDERING, Event.PONDER_HIT): (State.IDLE, Action.TELL_KEPT),
}

_REFUSED_GO = "expected stop or ponderhit before another go: this go is ignored"


@dataclass(frozen=True, slots=True)
class _Turn:
    """A question in the order of asking: its kind of ``go``, and whether its lines carry numbers."""

    kind: Event
    numbered: bool


class Session:
    """The state of one conversation with an interface."""

    def __init__(self) -> None:
        self.state = State.IDLE
        self._numbered = False  # for the next question
        self._present = _Turn(Event.GO, False)
        self._later: deque[_Turn] = deque()
        self._kept = ""
        self._handlers: dict[type, Callable[..., list[Effect]]] = {
            m.Uci: lambda command: _introduction(),
            m.Debug: lambda command: [],
            m.IsReady: lambda command: [Send("readyok"), Warm()],
            m.SetOption: self._set_option,
            m.Register: lambda command: [],
            m.NewGame: lambda command: [Forget()],
            m.Position: lambda command: [Place(command.fen, command.moves)],
            m.Go: self._go,
            m.Stop: lambda command: self._move_on(Event.STOP),
            m.PonderHit: lambda command: self._move_on(Event.PONDER_HIT),
            m.Quit: lambda command: self.closed(),
        }

    def receive(self, line: str) -> list[Effect]:
        """Take a line from the interface and return what follows from it."""
        command = parse(line)
        return [] if command is None else self._handlers[type(command)](command)

    def closed(self) -> list[Effect]:
        """Take the end of input, which means the same as ``quit``: nothing is held back any more."""
        waits = self.state is not State.THINKING or any(turn.kind is not Event.GO for turn in self._later)
        return [*(self._move_on(Event.STOP) if waits else []), Leave()]

    def broken_off(self) -> list[Effect]:
        """Answer the questions still open when the session ends before the partner has."""
        open_questions = len(self._later) + (self.state is State.THINKING)
        excuse = [Send(info_string("the session ended before the answer was found")), Send("bestmove 0000")]
        return [effect for _ in range(open_questions) for effect in excuse]

    def reported(self, report: Report) -> list[Effect]:
        """Take news from the partner."""
        return [Send(text) for text in report_lines(report, self._present.numbered)]

    def answered(self, answer: Answer) -> list[Effect]:
        """Take the partner's answer; it is kept back while the interface wants it so."""
        news = self.reported(answer.report)
        return [*news, *self._move_on(Event.ANSWER, best_move(answer))]

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
        kind = Event.GO_INFINITE if question.infinite else Event.GO_PONDER if question.ponder else Event.GO
        if _TABLE[self.state, kind][1] is Action.REFUSE:
            return [Send(info_string(_REFUSED_GO))]
        self._later.append(_Turn(kind, self._numbered))
        return [*self._move_on(kind), Think(question)]

    def _move_on(self, event: Event, text: str = "") -> list[Effect]:
        """Make the transition the table has for an event; `text` is the ``bestmove`` line of an answer."""
        self.state, action = _TABLE.get((self.state, event), (self.state, None))
        if action is Action.TURN:
            self._present = self._later.popleft()
        elif action is Action.HALT:
            self._let_go(Event.GO_INFINITE, Event.GO_PONDER)
            return [Halt()]
        elif action is Action.RELEASE:
            self._let_go(Event.GO_PONDER)
        elif action is Action.KEEP:
            self._kept = text
        elif action in (Action.TELL, Action.TELL_KEPT):
            told = text if action is Action.TELL else self._kept
            if self._later:
                self._move_on(self._later[0].kind)
            return [Send(told)]
        return []

    def _let_go(self, *kinds: Event) -> None:
        """Make plain questions of waiting ones: the word they would wait for has come."""
        self._later = deque(_Turn(Event.GO, t.numbered) if t.kind in kinds else t for t in self._later)


def _introduction() -> list[Effect]:
    lines = [f"id name matebot {__version__}", "id author the matebot developers"]
    lines += [option.declaration() for option in OPTIONS]
    return [Send(text) for text in (*lines, "uciok")]
