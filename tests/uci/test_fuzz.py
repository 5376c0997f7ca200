"""One invariant over sessions nobody would write: it never raises, and each question has at most one answer."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from matebot.uci.session import Send, State, Think
from tests.uci.scripted import Replay
from tests.uci.ways import CHARACTERS

WORDS = [
    "uci",
    "isready",
    "debug",
    "on",
    "off",
    "setoption",
    "name",
    "value",
    "MultiPV",
    "Ponder",
    "true",
    "ucinewgame",
    "position",
    "startpos",
    "fen",
    "moves",
    "e2e4",
    "go",
    "infinite",
    "ponder",
    "searchmoves",
    "depth",
    "movetime",
    "wtime",
    "1",
    "-7",
    "stop",
    "ponderhit",
    "register",
    "joho",
    "quit",
]
GOES = st.sampled_from(["go", "go infinite", "go ponder", "go ponder infinite", "go depth 3", "go mate 2 nodes 5"])
LETTING_OUT = st.sampled_from(["stop", "ponderhit"])
MIXTURES = st.lists(st.sampled_from(WORDS), max_size=8).map(" ".join)
LINES = GOES | LETTING_OUT | MIXTURES | st.text(CHARACTERS, max_size=30)
ANSWER = None
EVENTS = st.lists(LINES | st.just(ANSWER), max_size=40)


def best_moves(replay: Replay) -> int:
    return sum(text.startswith("bestmove ") for text in replay.said)


@settings(max_examples=100)
@given(EVENTS)
def test_no_session_raises_or_answers_a_question_twice(events: list[str | None]) -> None:
    replay, asked = Replay(), 0
    for event in events:
        if replay.left:
            break
        if event is not ANSWER:
            effects = replay.session.receive(event)
            asked += sum(isinstance(effect, Think) for effect in effects)
            replay.follow(effects)
        elif replay.owed:
            replay.answer("a1a2 a8a7")
        assert best_moves(replay) <= asked - replay.owed
        kept = replay.session.state in (State.KEPT, State.KEPT_PONDERING)
        assert best_moves(replay) == asked - replay.owed - kept
    # Whatever was said, one word frees everything that was asked.
    replay.follow(replay.session.receive("stop"))
    while replay.owed:
        replay.answer("0000")
    assert best_moves(replay) == asked
    assert replay.session.state is State.IDLE


@given(st.text(CHARACTERS))
def test_every_line_said_is_one_line(line: str) -> None:
    for effect in Replay().session.receive(line):
        if isinstance(effect, Send):
            assert len(effect.text.splitlines()) == 1
            assert effect.text.split()[0] in ("id", "option", "uciok", "readyok", "info", "bestmove")
