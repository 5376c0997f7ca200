"""The streams at the end of a session: what has been said gets out to whoever reads it."""

from __future__ import annotations

import gc
import os
import select
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator

import pytest

from matebot.partner import MatePartner
from matebot.uci import pace, stdio
from matebot.uci.partnership import Answer, Question, Report, Watch
from matebot.uci.session import Think
from matebot.uci.stdio import Conversation
from tests.conformance.process import GRAMMAR
from tests.test_wakeful import interrupted_before


class Reader:
    """Takes as many lines as are allowed, in place of the system's write; `taken` is what it has got."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.allowed, self.got = threading.Semaphore(0), threading.Semaphore(0)
        self.taken: list[bytes] = []
        monkeypatch.setattr(os, "write", self.write)

    def write(self, stream: int, text: bytes) -> int:
        self.allowed.acquire()
        self.taken.append(bytes(text))
        self.got.release()
        return len(text)


def voice_of_five_lines(monkeypatch: pytest.MonkeyPatch, reader: Reader, lines_a_wait: int) -> stdio._Voice:
    """Return a voice with five lines to write, of which the reader takes so many each time the end is waited for."""
    voice = stdio._Voice()
    waited = voice._thread.join

    def wait(seconds: float) -> None:
        before = voice._written
        for _ in range(min(lines_a_wait, 5 - before)):
            reader.allowed.release()
            reader.got.acquire()
        while voice._written < min(before + lines_a_wait, 5):
            pass
        if voice._written == 5:
            waited()

    monkeypatch.setattr(voice._thread, "join", wait)
    for number in range(5):
        voice.say(str(number))
    return voice


def test_a_slow_reader_gets_all_that_was_said(monkeypatch: pytest.MonkeyPatch) -> None:
    reader = Reader(monkeypatch)
    voice_of_five_lines(monkeypatch, reader, 1).finish()
    assert reader.taken == [b"0\n", b"1\n", b"2\n", b"3\n", b"4\n"]


def test_nobody_is_waited_for_who_does_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    reader = Reader(monkeypatch)
    voice_of_five_lines(monkeypatch, reader, 0).finish()
    assert reader.taken == []
    for _ in range(5):
        reader.allowed.release()  # lets the thread end
        reader.got.acquire()


def test_what_has_been_said_is_written_before_anything_else_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    reader = Reader(monkeypatch)
    monkeypatch.setattr(stdio, "_TURN_SECONDS", 60.0)
    voice = stdio._Voice()
    for number in range(5):
        reader.allowed.release()
        voice.say(str(number))
    voice.let_out()
    assert reader.taken == [b"0\n", b"1\n", b"2\n", b"3\n", b"4\n"]


def test_for_a_slow_reader_nothing_is_put_off_noticeably(monkeypatch: pytest.MonkeyPatch) -> None:
    waits = list[float]()
    monkeypatch.setattr(stdio._Voice, "_write", lambda self: None)
    voice = stdio._Voice()
    monkeypatch.setattr(voice._turn, "wait_for", lambda written, seconds: waits.append(seconds))
    voice.let_out()
    assert [seconds <= 0.1 for seconds in waits] == [True]


def test_an_answer_is_out_before_garbage_is_looked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    looked_for = list[bool]()
    conversation, partner = Conversation(), Late()
    monkeypatch.setattr(conversation._voice, "let_out", lambda: looked_for.append(gc.isenabled()))
    monkeypatch.setattr(conversation, "_ready", lambda: partner)
    conversation._wanted[1] = stdio._Wanted(True, False, 0.0, 1.0)
    monkeypatch.setattr(conversation, "_carry_out", lambda step, *details: True)
    conversation._do(Think(Question(), 1))
    assert looked_for == [False]


class Answered(dict[int, object]):
    """Questions of which one is answered just after it was seen to be open."""

    def __contains__(self, number: object) -> bool:
        self.pop(number, None)  # type: ignore[call-overload]
        return True


def test_a_question_answered_while_it_is_being_stopped_is_no_fault() -> None:
    conversation = Conversation()
    conversation._wanted = Answered({1: stdio._Wanted(False, False, 0.0, 1.0)})  # type: ignore[assignment]
    conversation._halt((1,))


@pytest.mark.skipif(sys.platform == "win32", reason="files cannot be waited for")
def test_a_signal_just_before_the_session_waits_for_input_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    reading, writing = os.pipe()
    monkeypatch.setattr(stdio, "_INPUT", reading)
    monkeypatch.setattr(select, "select", interrupted_before(select.select))
    with pytest.raises(KeyboardInterrupt):
        stdio._read()
    os.close(reading)
    os.close(writing)


class Late:
    """A partner that answers when it is stopped, and has put away what is to be kept when somebody waits for that."""

    def __init__(self) -> None:
        self.kept, self.waited_for = False, threading.Event()

    def set_position(self, fen: str | None, moves: tuple[str, ...]) -> str | None:
        return None

    def go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        while not watch.stopped():
            time.sleep(0.001)
        return Answer("a1a8")

    def rest(self, wanted: Callable[[], bool]) -> None:
        return

    def finish(self, seconds: float) -> None:
        self.kept = self.waited_for.wait(60)


def test_an_answer_that_comes_late_after_quit_leaves_time_to_keep_what_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Longer than an answer at once is waited for."""
    waits: list[float] = []

    def wait(seconds: float) -> None:
        waits.append(seconds)
        partner.waited_for.set()
        joined(60)

    said, sent = list[str](), iter([b"position startpos\ngo movetime 1\nquit\n"])
    monkeypatch.setattr(stdio, "_read", lambda: next(sent, b""))
    monkeypatch.setattr(stdio._Voice, "_write", lambda self: said.extend(iter(self._lines.get, None)))
    monkeypatch.setattr(stdio, "_HURRY_SECONDS", 60.0)
    monkeypatch.setattr(pace, "_TIMED_PATIENCE_SECONDS", 0.01)
    conversation, partner = Conversation(), Late()
    conversation._partner = partner  # type: ignore[assignment]
    joined = conversation._worker.join
    monkeypatch.setattr(conversation._worker, "join", wait)
    conversation.run()
    assert said == ["bestmove a1a8"]
    assert partner.kept
    assert stdio._HURRY_SECONDS < waits[0] <= stdio._HURRY_SECONDS + stdio._LEAVING_SECONDS


class Watching(Late):
    """A partner that looks at its watch until time counts, or until none does, and tells of everything it is told."""

    def __init__(self, awaits_untimed: bool) -> None:
        super().__init__()
        self.awaits_untimed, self.asked, self.seen = awaits_untimed, threading.Event(), threading.Event()
        self.given = list[float]()

    def set_option(self, name: str, value: str | int | bool) -> list[str]:
        return [f"{name} is {value}"]

    def set_position(self, fen: str | None, moves: tuple[str, ...]) -> str | None:
        return f"{len(moves)} moves are too many" if moves else None

    def go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        report(Report((f"untimed: {watch.untimed()}",)))
        self.asked.set()
        given_up_at = time.monotonic() + 20
        while watch.untimed() != self.awaits_untimed and time.monotonic() < given_up_at:
            time.sleep(0.001)
        self.seen.set()
        return Answer("a1a8" if watch.untimed() == self.awaits_untimed else None)

    def finish(self, seconds: float) -> None:
        self.given.append(seconds)


def said_by(partner: Late, monkeypatch: pytest.MonkeyPatch, chunks: Iterator[bytes]) -> list[str]:
    """Return what is said in a conversation with a partner, of which the input is given in pieces."""
    said = list[str]()
    monkeypatch.setattr(stdio, "_read", lambda: next(chunks, b""))
    monkeypatch.setattr(stdio._Voice, "_write", lambda self: said.extend(iter(self._lines.get, None)))
    conversation = Conversation()
    conversation._partner = partner  # type: ignore[assignment]
    conversation.run()
    return said


def test_time_counts_from_the_move_that_was_expected(monkeypatch: pytest.MonkeyPatch) -> None:
    def chunks() -> Iterator[bytes]:
        yield b"go ponder movetime 1\n"
        partner.asked.wait(60)
        yield b"ponderhit\n"
        partner.seen.wait(60)

    partner = Watching(awaits_untimed=False)
    assert said_by(partner, monkeypatch, chunks()) == ["info string untimed: True", "bestmove a1a8"]


class Following(Watching):
    """A partner that notes since when time counts for each question, and when it has answered the last one."""

    def __init__(self) -> None:
        super().__init__(awaits_untimed=False)
        self.since, self.done = list[float](), 0.0

    def go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        since = watch.asked_at()
        assert since is not None
        self.since.append(since - self.done)
        time.sleep(0.005)
        self.done = time.monotonic()
        return Answer("a1a8")


def test_for_a_question_that_waits_its_turn_time_counts_from_the_answer_before_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    partner = Following()
    assert said_by(partner, monkeypatch, iter([b"go movetime 1\ngo movetime 1\n"])) == ["bestmove a1a8"] * 2
    assert partner.since[1] >= 0


def test_at_the_end_of_input_no_time_counts_any_more(monkeypatch: pytest.MonkeyPatch) -> None:
    def chunks() -> Iterator[bytes]:
        yield b"go movetime 1\n"
        partner.asked.wait(60)

    partner = Watching(awaits_untimed=True)
    assert said_by(partner, monkeypatch, chunks()) == ["info string untimed: False", "bestmove a1a8"]


def test_what_the_partner_says_is_passed_on_and_what_is_no_text_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    told = iter([b"\xff\xfe\nsetoption name Seed value 3\nposition startpos moves e2e4\nisready\n"])
    partner = Watching(awaits_untimed=True)
    assert said_by(partner, monkeypatch, told) == [
        "info string Seed is 3",
        "info string 1 moves are too many",
        "readyok",
    ]
    assert partner.given == [stdio._KEEPING_SECONDS]


class Tidy(Late):
    """A partner that notes whether garbage is looked for while it answers and afterwards; one answer fails."""

    def __init__(self) -> None:
        super().__init__()
        self.answering, self.resting = list[bool](), list[bool]()

    def go(self, question: Question, report: Callable[[Report], None], watch: Watch) -> Answer:
        self.answering.append(gc.isenabled())
        if len(self.answering) == 2:
            raise RuntimeError("a fault of our own")
        return Answer("a1a8")

    def rest(self, wanted: Callable[[], bool]) -> None:
        self.resting.append(gc.isenabled())

    def finish(self, seconds: float) -> None:
        self.resting.append(gc.isenabled())


def _fails(*arguments: object) -> object:
    raise RuntimeError("a fault of our own")


#: What fails: what stands there instead.
FAULTS: dict[str, tuple[object, str, object]] = {
    "every question": (MatePartner, "go", _fails),
    "every position": (MatePartner, "set_position", _fails),
    "an answer that cannot be written": (MatePartner, "go", lambda *arguments: None),
    "loading": (sys.modules, "matebot.partner", None),
}


@pytest.mark.parametrize("what", FAULTS)
def test_a_fault_of_our_own_is_told_and_every_question_still_answered(
    what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    said, sent = list[str](), iter([b"position fen 7k/8/6K1/8/8/8/8/R7 w - - 0 1\ngo\nisready\ngo\n"])
    logged = list[str]()
    monkeypatch.setattr(stdio, "_read", lambda: next(sent, b""))
    monkeypatch.setattr(stdio._Voice, "_write", lambda self: said.extend(iter(self._lines.get, None)))
    monkeypatch.setattr(stdio, "log", logged.append)
    place, name, instead = FAULTS[what]
    if place is sys.modules:
        monkeypatch.setitem(sys.modules, name, instead)
    else:
        monkeypatch.setattr(place, name, instead)
    Conversation().run()
    assert all(text.startswith("Traceback") for text in logged)
    assert logged
    assert [line.split()[0] for line in said].count("bestmove") == 2
    assert "readyok" in said
    for line in said:
        assert GRAMMAR.fullmatch(line), line
    assert "bestmove 0000" in said
    assert any(line.startswith("info string ") for line in said)
    # What no partner has looked at is shown with nothing looked at.
    shown = [line for line in said if line.startswith("info depth ")]
    assert what not in ("every question", "loading") or shown
    assert all(line == "info depth 0 score cp 0 time 0 nodes 0 tbhits 0" for line in shown)


def test_garbage_is_looked_for_between_answers_only(monkeypatch: pytest.MonkeyPatch) -> None:
    said, sent = list[str](), iter([b"position startpos\ngo\ngo\ngo\n"])
    monkeypatch.setattr(stdio, "_read", lambda: next(sent, b""))
    monkeypatch.setattr(stdio._Voice, "_write", lambda self: said.extend(iter(self._lines.get, None)))
    monkeypatch.setattr(stdio, "log", lambda text: None)
    conversation, partner = Conversation(), Tidy()
    conversation._partner = partner  # type: ignore[assignment]
    conversation.run()
    assert [line for line in said if line.startswith("bestmove")] == ["bestmove a1a8", "bestmove 0000", "bestmove a1a8"]
    assert partner.answering == [False, False, False]
    assert partner.resting
    assert all(partner.resting)


def test_what_breaks_the_whole_session_is_told_and_ends_it_with_status_1(monkeypatch: pytest.MonkeyPatch) -> None:
    logged, ended = list[str](), list[int]()
    monkeypatch.setattr(stdio, "_own_streams", lambda: None)
    monkeypatch.setattr(stdio, "log", logged.append)
    monkeypatch.setattr(signal, "signal", lambda *arguments: None)
    monkeypatch.setattr(os, "isatty", lambda stream: False)
    monkeypatch.setattr(os, "_exit", ended.append)
    for broken, status in ((lambda self: None, 0), (_fails, 1)):
        monkeypatch.setattr(Conversation, "run", broken)
        stdio.run()
        assert (ended.pop(), len(logged)) == (status, status)
    assert logged[0].startswith("Traceback")


def test_the_partner_begins_with_the_settings_given(monkeypatch: pytest.MonkeyPatch) -> None:
    begun = list[object]()
    monkeypatch.setattr("matebot.partner.MatePartner", begun.append)
    monkeypatch.setattr(gc, "freeze", lambda: None)
    Conversation({"Seed": 3})._ready()
    assert begun == [{"Seed": 3}]
