"""Every state against every event: what follows and where it leads, as the UCI protocol description (April 2006) says.

The table is written down here a second time and in words of the protocol, so that no slip in the session's own table
can go unseen: `go` is answered once, `infinite` and `ponder` hold the answer back until a word or another `go` comes,
words at the wrong time do nothing.
"""

from __future__ import annotations

import pytest

from matebot.uci.partnership import Answer, Line, Question, Report
from matebot.uci.session import (
    Choose,
    Effect,
    Forget,
    Halt,
    Leave,
    Place,
    RunClock,
    Send,
    Session,
    State,
    Think,
    Warm,
)
from tests.uci.ways import ANSWERED, WAYS

LINE = Line(1, None, "mate", 1, None, 2, 3, 4, ("a1a8",))
SHOWN = Send("info depth 1 score mate 1 time 2 nodes 3 tbhits 4 pv a1a8")
ANSWER = Answer("a1a8", None, Report((), (LINE,)))
BEST = Send("bestmove a1a8")

GO, GO_INFINITE, GO_PONDER = Question(), Question(infinite=True), Question(ponder=True)

TABLE: list[tuple[State, str, list[Effect], State]] = [
    (State.IDLE, "go", [Think(GO, 1)], State.THINKING),
    (State.IDLE, "go infinite", [Think(GO_INFINITE, 1)], State.HELD),
    (State.IDLE, "go ponder", [Think(GO_PONDER, 1)], State.PONDERING),
    (State.IDLE, "stop", [], State.IDLE),
    (State.IDLE, "ponderhit", [], State.IDLE),
    (State.THINKING, "go", [Think(GO, 2)], State.THINKING),
    (State.THINKING, "go infinite", [Think(GO_INFINITE, 2)], State.THINKING),
    (State.THINKING, "go ponder", [Think(GO_PONDER, 2)], State.THINKING),
    (State.THINKING, "stop", [Halt((1,))], State.THINKING),
    (State.THINKING, "ponderhit", [], State.THINKING),
    (State.THINKING, ANSWERED, [SHOWN, BEST], State.IDLE),
    (State.HELD, "go", [Halt((1,)), Think(GO, 2)], State.THINKING),
    (State.HELD, "go infinite", [Halt((1,)), Think(GO_INFINITE, 2)], State.THINKING),
    (State.HELD, "go ponder", [Halt((1,)), Think(GO_PONDER, 2)], State.THINKING),
    (State.HELD, "stop", [Halt((1,))], State.THINKING),
    (State.HELD, "ponderhit", [], State.HELD),
    (State.HELD, ANSWERED, [SHOWN], State.KEPT),
    (State.PONDERING, "go", [Halt((1,)), Think(GO, 2)], State.THINKING),
    (State.PONDERING, "go infinite", [Halt((1,)), Think(GO_INFINITE, 2)], State.THINKING),
    (State.PONDERING, "go ponder", [Halt((1,)), Think(GO_PONDER, 2)], State.THINKING),
    (State.PONDERING, "stop", [Halt((1,))], State.THINKING),
    (State.PONDERING, "ponderhit", [RunClock((1,))], State.THINKING),
    (State.PONDERING, ANSWERED, [SHOWN], State.KEPT_PONDERING),
    (State.KEPT, "go", [BEST, Think(GO, 2)], State.THINKING),
    (State.KEPT, "go infinite", [BEST, Think(GO_INFINITE, 2)], State.HELD),
    (State.KEPT, "go ponder", [BEST, Think(GO_PONDER, 2)], State.PONDERING),
    (State.KEPT, "stop", [BEST], State.IDLE),
    (State.KEPT, "ponderhit", [], State.KEPT),
    (State.KEPT_PONDERING, "go", [BEST, Think(GO, 2)], State.THINKING),
    (State.KEPT_PONDERING, "go infinite", [BEST, Think(GO_INFINITE, 2)], State.HELD),
    (State.KEPT_PONDERING, "go ponder", [BEST, Think(GO_PONDER, 2)], State.PONDERING),
    (State.KEPT_PONDERING, "stop", [BEST], State.IDLE),
    (State.KEPT_PONDERING, "ponderhit", [SHOWN, BEST], State.IDLE),
]
#: Words that do the same in every state, and change none.
EVERYWHERE: list[tuple[str, list[Effect]]] = [
    ("debug on", []),
    ("register later", []),
    ("ucinewgame", [Forget()]),
    ("position startpos moves e2e4", [Place(None, ("e2e4",))]),
    ("position", [Place("", ())]),
    ("setoption name multipv value 2", [Choose("MultiPV", 2)]),
    (
        "setoption name Seed value x",
        [Send(f"info string expected a whole number from 0 to {2**31 - 1} for Seed, got 'x'")],
    ),
    ("", []),
    ("nonsense", []),
]


def step(session: Session, event: str) -> list[Effect]:
    return session.answered(ANSWER) if event == ANSWERED else session.receive(event)


def session_in(state: State) -> Session:
    session = Session()
    for event in WAYS[state]:
        step(session, event)
    assert session.state is state
    return session


def told(effects: list[Effect]) -> list[str]:
    """Return the lines among effects."""
    return [effect.text for effect in effects if isinstance(effect, Send)]


@pytest.mark.parametrize(("state", "event", "effects", "after"), TABLE)
def test_an_event_has_its_effects_and_leads_on(state: State, event: str, effects: list[Effect], after: State) -> None:
    session = session_in(state)
    assert step(session, event) == effects
    assert session.state is after


def test_the_table_above_leaves_out_no_state_and_no_event() -> None:
    """Three kinds of go, two words, the answer; an answer only comes while one is owed, so three pairs do not occur."""
    assert len({(state, event) for state, event, _, _ in TABLE}) == len(State) * 6 - 3


@pytest.mark.parametrize("state", list(State))
@pytest.mark.parametrize(("line", "effects"), EVERYWHERE)
def test_some_words_do_the_same_at_any_time(state: State, line: str, effects: list[Effect]) -> None:
    session = session_in(state)
    assert session.receive(line) == effects
    assert session.state is state


@pytest.mark.parametrize("state", [State.IDLE, State.KEPT, State.KEPT_PONDERING])
def test_an_answer_that_nobody_waits_for_gives_no_move(state: State) -> None:
    assert told(session_in(state).answered(ANSWER)) == [SHOWN.text]


@pytest.mark.parametrize("state", [State.KEPT, State.KEPT_PONDERING])
def test_an_answer_that_nobody_waits_for_takes_the_place_of_none_that_is_kept(state: State) -> None:
    session = session_in(state)
    session.answered(Answer("b1b2"))
    assert session.receive("stop") == [BEST]


@pytest.mark.parametrize(
    ("state", "effects"),
    [
        (State.IDLE, []),
        (State.THINKING, []),
        (State.HELD, [Halt((1,))]),
        (State.PONDERING, [Halt((1,))]),
        (State.KEPT, [BEST]),
        (State.KEPT_PONDERING, [BEST]),
    ],
)
def test_the_end_of_input_and_quit_hold_nothing_back_and_hurry_no_answer_on_its_way(
    state: State, effects: list[Effect]
) -> None:
    assert session_in(state).receive("quit") == [*effects, Leave(hurried=True)]
    assert session_in(state).closed() == [*effects, Leave(hurried=False)]


@pytest.mark.parametrize("state", list(State))
def test_isready_is_answered_at_once_while_a_question_is_open_and_else_when_all_before_it_is_done(state: State) -> None:
    session = session_in(state)
    effects = session.receive("isready")
    assert effects == ([Warm()] if state is State.IDLE else [Send("readyok")])
    assert session.state is state
    if state is State.IDLE:
        assert session.warmed() == [Send("readyok")]


def test_isready_that_was_not_answered_yet_is_answered_at_the_end() -> None:
    session = Session()
    for line in ("isready", "isready", "go"):
        session.receive(line)
    assert session.warmed() == [Send("readyok")]
    session.closed()
    assert told(session.broken_off())[0] == "readyok"
    assert "readyok" not in told(session.broken_off())[1:]


def test_questions_still_open_when_the_session_ends_get_an_excuse_each() -> None:
    session = Session()
    for line in ("position startpos", "go", "go"):
        session.receive(line)
    session.closed()
    lines = told(session.broken_off())
    assert [line.split()[0] for line in lines] == ["info", "bestmove"] * 2
    assert lines[1::2] == ["bestmove 0000"] * 2
    assert told(session.broken_off()) == []
    assert session.state is State.IDLE
    assert told(Session().broken_off()) == []


def test_questions_that_wait_their_turn_are_answered_in_order() -> None:
    session = Session()
    for line in ("go", "go infinite", "go"):
        assert any(isinstance(effect, Think) for effect in session.receive(line))
    assert told(session.answered(Answer("a1a2"))) == ["bestmove a1a2"]
    assert told(session.answered(Answer("b1b2"))) == ["bestmove b1b2"]
    assert told(session.answered(Answer("c1c2"))) == ["bestmove c1c2"]
    assert session.state is State.IDLE


def test_a_go_behind_a_held_one_lets_it_out_wherever_it_stands() -> None:
    """Three in one write, as a client may send them that changes its mind: none may be lost or change places."""
    session = Session()
    session.receive("go")
    session.receive("go infinite")
    assert session.receive("go") == [Halt((2,)), Think(GO, 3)]
    assert [told(session.answered(Answer(move)))[-1] for move in ("a1a2", "b1b2", "c1c2")] == [
        "bestmove a1a2",
        "bestmove b1b2",
        "bestmove c1c2",
    ]
    assert session.receive("stop") == []


def test_a_ponderhit_shows_the_kept_lines_again_and_no_sentence_twice() -> None:
    session = Session()
    session.receive("go ponder")
    session.answered(Answer("a1a8", None, Report(("a sentence",), (LINE, LINE))))
    lines = told(session.receive("ponderhit"))
    assert [line.split()[0:5:4] for line in lines[:-1]] == [["info", "1"], ["info", "2"]]
    assert lines[-1] == "bestmove a1a8"


def test_one_stop_frees_all_questions_asked_before_it() -> None:
    session = Session()
    for line in ("go", "go infinite", "go ponder"):
        session.receive(line)
    assert session.receive("stop") == [Halt((1, 2, 3))]
    assert [told(session.answered(Answer(None)))[-1:] for _ in range(3)] == [["bestmove 0000"]] * 3


def test_a_ponderhit_frees_a_question_that_has_not_had_its_turn() -> None:
    session = Session()
    session.receive("go")
    session.receive("go ponder")
    assert session.receive("ponderhit") == [RunClock((2,))]
    session.answered(ANSWER)
    assert told(session.answered(ANSWER))[-1:] == [BEST.text]


def test_pondering_without_end_waits_for_stop_even_after_ponderhit() -> None:
    """UCI, `infinite`: the search is not left without being told so."""
    session = Session()
    session.receive("go ponder infinite")
    session.answered(ANSWER)
    assert session.receive("ponderhit") == []
    assert session.receive("stop") == [BEST]


def test_lines_are_numbered_as_the_question_was_asked_not_as_it_is_answered() -> None:
    session = Session()
    session.receive("setoption name MultiPV value 2")
    session.receive("go")
    session.receive("setoption name MultiPV value 1")
    session.receive("go")
    assert " multipv 1 " in told(session.answered(ANSWER))[0]
    assert "multipv" not in told(session.answered(ANSWER))[0]


def test_the_introduction_ends_in_uciok_and_asks_nothing_of_the_worker() -> None:
    lines = told(effects := Session().receive("uci"))
    assert len(lines) == len(effects)
    assert [line.split()[:2] for line in lines[:2]] == [["id", "name"], ["id", "author"]]
    assert {line.split()[0] for line in lines[2:-1]} == {"option"}
    assert lines[-1] == "uciok"
