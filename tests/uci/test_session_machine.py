"""The session against a small model of its own: every state by every two events, and long orders found by hypothesis.

The model knows two sentences of the UCI protocol description (April 2006) and of the session: each ``go`` gets exactly
one ``bestmove``, in the order of asking; with ``infinite`` or ``ponder`` it waits for ``stop``, for ``ponderhit`` (when
pondering without ``infinite``), for another ``go`` or for the end. It is a list of what was asked, nothing more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import product

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from matebot.uci.partnership import Answer, Line, Report
from matebot.uci.session import Effect, Halt, Leave, RunClock, Send, Session, State, Think, Warm
from tests.uci.ways import ANSWERED, WAYS

SQUARES = [file + rank for file in "abcdefgh" for rank in "12345678"]
WAITS_FOR = {
    "go": (),
    "go depth 3": (),
    "go infinite": ("stop",),
    "go ponder": ("stop", "ponderhit"),
    "go ponder infinite": ("stop",),
}
#: Where the session stands: is anything open, what does the first of it wait for, is its answer here.
STANDS = {
    (False, (), False): State.IDLE,
    (True, (), False): State.THINKING,
    (True, ("stop",), False): State.HELD,
    (True, ("stop", "ponderhit"), False): State.PONDERING,
    (True, ("stop",), True): State.KEPT,
    (True, ("stop", "ponderhit"), True): State.KEPT_PONDERING,
}
OTHER_WORDS = ("ucinewgame", "position startpos", "uci", "debug on", "joho", "setoption name x")
#: An answer only comes while one is owed, and what is kept back is always the last that was asked.
WITHOUT_ANSWER = (State.IDLE, State.KEPT, State.KEPT_PONDERING)
EVENTS = (*WAITS_FOR, "stop", "ponderhit", "isready", *OTHER_WORDS, "quit", "(end of input)", ANSWERED)
#: Which state has met which event, in all sessions of the run.
met: set[tuple[State, str]] = set()


@dataclass
class Asked:
    """A question of the model: what it waits for, its answer, and whether the partner knows it should hurry."""

    number: int
    waits_for: tuple[str, ...]
    move: str = ""
    halted: bool = False


class Conversation(RuleBasedStateMachine):
    """One session and the model of it."""

    def __init__(self) -> None:
        super().__init__()
        self.session = Session()
        self.asked: list[Asked] = []
        self.told = 0
        self.warming = 0
        self.over = False

    def receive(self, line: str) -> list[Effect]:
        met.add((self.session.state, line))
        return self.session.receive(line)

    def word(self, line: str, word: str) -> list[str]:
        """Send a line that lets out what waits for a word; return what must be told."""
        for question in self.asked[self.told :]:
            if word == "go" or word in question.waits_for:
                question.waits_for = ()
        due = self.due()
        self.check(self.receive(line), due)
        return due

    def due(self) -> list[str]:
        moves = []
        while self.told < len(self.asked) and self.asked[self.told].move and not self.asked[self.told].waits_for:
            moves.append(self.asked[self.told].move)
            self.told += 1
        return moves

    def check(self, effects: list[Effect], due: list[str]) -> None:
        said = [effect.text.split() for effect in effects if isinstance(effect, Send)]
        assert [words[1] for words in said if words[0] == "bestmove"] == due
        for effect in effects:
            if isinstance(effect, Halt):
                for number in effect.numbers:
                    assert not self.asked[number - 1].move, "expected only open questions to be halted"
                    self.asked[number - 1].halted = True

    @precondition(lambda self: not self.over)
    @rule(line=st.sampled_from(list(WAITS_FOR)))
    def go(self, line: str) -> None:
        held = [question for question in self.asked[self.told :] if question.waits_for]
        for question in held:
            question.waits_for = ()
        due = self.due()
        self.asked.append(Asked(len(self.asked) + 1, WAITS_FOR[line]))
        effects = self.receive(line)
        self.check(effects, due)
        assert [effect.number for effect in effects if isinstance(effect, Think)] == [len(self.asked)]
        assert all(question.halted or question.move for question in held)

    @precondition(lambda self: not self.over)
    @rule()
    def stop(self) -> None:
        self.word("stop", "stop")
        assert all(question.halted or question.move for question in self.asked)

    @precondition(lambda self: not self.over)
    @rule()
    def ponder_hit(self) -> None:
        pondered = [q.number for q in self.asked[self.told :] if "ponderhit" in q.waits_for and not q.move]
        for question in self.asked[self.told :]:
            if "ponderhit" in question.waits_for:
                question.waits_for = ()
        due = self.due()
        effects = self.receive("ponderhit")
        self.check(effects, due)
        assert [n for effect in effects if isinstance(effect, RunClock) for n in effect.numbers] == pondered
        shown = [e.text for e in effects if isinstance(e, Send) and e.text.startswith("info depth")]
        assert len(shown) == len(due), "expected the last lines again before the move"

    @precondition(lambda self: any(not question.move for question in self.asked))
    @rule()
    def answer(self) -> None:
        question = next(question for question in self.asked if not question.move)
        question.move = SQUARES[question.number % 64] + SQUARES[(question.number + 7) % 64]
        line = Line(1, None, "cp", 0, None, 0, 0, 0, (question.move,))
        due = self.due()
        met.add((self.session.state, ANSWERED))
        effects = self.session.answered(Answer(question.move, None, Report((), (line,))))
        self.check(effects, due)
        assert isinstance(effects[0], Send)
        assert effects[0].text.startswith("info depth 1 ")

    @precondition(lambda self: not self.over)
    @rule()
    def is_ready(self) -> None:
        effects = self.receive("isready")
        if self.told < len(self.asked):
            assert effects == [Send("readyok")]
        else:
            assert effects == [Warm()]
            self.warming += 1

    @precondition(lambda self: self.warming)
    @rule()
    def warmed(self) -> None:
        self.warming -= 1
        assert self.session.warmed() == [Send("readyok")]

    @precondition(lambda self: not self.over)
    @rule(line=st.sampled_from(OTHER_WORDS))
    def other_words(self, line: str) -> None:
        before = self.session.state
        self.check(self.receive(line), [])
        assert self.session.state is before

    @precondition(lambda self: not self.over)
    @rule(by_quit=st.booleans())
    def end(self, by_quit: bool) -> None:
        for question in self.asked[self.told :]:
            question.waits_for = ()
        due = self.due()
        if by_quit:
            effects = self.receive("quit")
        else:
            met.add((self.session.state, "(end of input)"))
            effects = self.session.closed()
        self.check(effects, due)
        assert effects[-1] == Leave(hurried=by_quit)
        self.over = True

    @precondition(lambda self: self.over)
    @rule()
    def nothing_is_held_after_the_end(self) -> None:
        assert self.session.closed() == [Leave(hurried=False)]

    @invariant()
    def stands_where_the_model_stands(self) -> None:
        first = self.asked[self.told] if self.told < len(self.asked) else None
        key = (False, (), False) if first is None else (True, first.waits_for, bool(first.move))
        assert self.session.state is STANDS[key]

    def teardown(self) -> None:
        """However it came, ``stop`` and the partner's answers leave no question open."""
        if not self.over:
            self.stop()
        while any(not question.move for question in self.asked):
            self.answer()
        assert self.told == len(self.asked)
        assert self.session.state is State.IDLE
        assert self.session.broken_off() == [Send("readyok")] * self.warming


def meet(conversation: Conversation, event: str) -> None:
    """Let a session meet an event, as a rule of the model, unless it cannot occur now."""
    rules: dict[str, Callable[[], None]] = {
        **{line: partial(conversation.go, line=line) for line in WAITS_FOR},
        **{line: partial(conversation.other_words, line=line) for line in OTHER_WORDS},
        "stop": conversation.stop,
        "ponderhit": conversation.ponder_hit,
        "isready": conversation.is_ready,
        "quit": partial(conversation.end, by_quit=True),
        "(end of input)": partial(conversation.end, by_quit=False),
        ANSWERED: conversation.answer,
    }
    owed = any(not question.move for question in conversation.asked)
    if owed if event == ANSWERED else not conversation.over:
        rules[event]()
        conversation.stands_where_the_model_stands()


def test_every_state_takes_every_event_and_then_another_as_the_model_does() -> None:
    met.clear()
    for state, event, another in product(State, EVENTS, EVENTS):
        conversation = Conversation()
        for step in WAYS[state]:
            meet(conversation, step)
        assert conversation.session.state is state
        meet(conversation, event)
        meet(conversation, another)
        conversation.teardown()
    assert met == {pair for pair in product(State, EVENTS) if pair[1] != ANSWERED or pair[0] not in WITHOUT_ANSWER}


TestConversation = Conversation.TestCase
TestConversation.settings = settings(max_examples=100, stateful_step_count=30)
