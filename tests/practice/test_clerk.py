"""What a session tells its clerk, and what the clerk makes of it; most of it without a process, sqlite3 alone reads."""

from __future__ import annotations

import io
import json
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from itertools import count
from pathlib import Path
from queue import SimpleQueue

import pytest

from matebot.partner import MatePartner
from matebot.practice import errand
from matebot.practice.clerk import Clerk, read_lines, serve
from matebot.practice.errand import Errand, Message
from matebot.practice.record import Record
from matebot.uci.partnership import Question, Watch

ROOK = "8/8/8/8/8/2k5/8/KR6 w - - 0 1"
QUEEN = "k7/8/2K5/8/8/8/8/1Q6 w - - 0 1"
DEFENCE = "8/8/8/4k3/8/8/8/KQ6 b - - 0 1"


class InProcess:
    """A clerk in this process: messages take the same form on their way to it."""

    def __init__(self, tell: Callable[[str], None], gone: Callable[[], None]) -> None:
        self.clerk = Clerk(tell)
        self.is_alive = True

    def send(self, message: Message) -> None:
        self.clerk.take(json.loads(json.dumps(message)))
        self.clerk.write()

    def finish(self, seconds: float) -> None:
        self.clerk.end()
        self.clerk.judge()


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    monkeypatch.setattr(errand, "Errand", InProcess)
    return tmp_path / "record.sqlite"


def rows(place: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(place)) as connection:
        return connection.execute(query).fetchall()


def ask(partner: MatePartner, fen: str, moves: str, said: list[str] | None = None) -> str:
    """Return the moves with the engine's answer, as an interface goes on from there."""
    assert partner.set_position(fen, moves.split()) is None
    told = said if said is not None else []
    answer = partner.go(Question(), lambda report: told.extend(report.notices), Watch())
    partner.rest(lambda: True)
    return f"{moves} {answer.best}".strip()


def test_games_follow_each_other_and_the_mate_that_is_not_seen_counts(place: Path) -> None:
    partner = MatePartner({"Pupil": "Mia"})
    first = ask(partner, ROOK, ask(partner, ROOK, "b1b8") + " b8b7")
    second = ask(partner, QUEEN, "c6c7")
    partner.finish()
    assert rows(place, "SELECT line, result, finished FROM games ORDER BY id") == [
        (first, "broken off", 1),
        (second, "mate in one reached", 1),
    ]
    assert rows(place, "SELECT grade FROM passages ORDER BY game DESC LIMIT 1") == [(4,)]


def test_a_defence_is_kept_as_a_defence_and_judged_at_the_end(place: Path) -> None:
    partner = MatePartner({"Pupil": "Mia"})
    ask(partner, DEFENCE, "e5d5")
    assert rows(place, "SELECT ending, moves, finished FROM games") == [("", 1, 0)]
    partner.finish()
    assert rows(place, "SELECT side, colour, moves FROM games") == [("defence", "black", 1)]


def test_a_game_belongs_to_the_pupil_named_when_it_was_played(place: Path) -> None:
    partner = MatePartner()
    ask(partner, ROOK, "b1b8")
    for name in ("Mia", "Bo", "  "):
        assert partner.set_option("Pupil", name) == []
        ask(partner, ROOK, "b1b7" if name == "Bo" else "b1b6")
    partner.finish()
    query = "SELECT name, substr(line, 1, 4), finished FROM games JOIN pupils p ON p.id = pupil"
    assert rows(place, query) == [("Mia", "b1b6", 1), ("Bo", "b1b7", 1)]


@pytest.mark.parametrize("name", ["x" * 101, "a\x07b"])
def test_what_is_no_name_is_told_in_one_line_and_nothing_is_kept(place: Path, name: str) -> None:
    partner = MatePartner()
    (told,) = partner.set_option("Pupil", name)
    assert "expected a pupil's name" in told
    ask(partner, ROOK, "b1b8")
    partner.finish()
    assert not place.exists()


def test_a_record_that_cannot_be_kept_is_told_in_one_line_and_play_goes_on(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", str(place.parent))
    partner, said = MatePartner({"Pupil": "Mia"}), list[str]()
    for move in ("b1b8", "b1b7", "b1b6"):
        ask(partner, ROOK, move, said)
    partner.finish()
    assert sum("play goes on without a record" in line for line in said) == 1


def test_a_session_that_never_rests_keeps_its_games_all_the_same(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(MatePartner, "rest", lambda partner, wanted: None)
    partner = MatePartner({"Pupil": "Mia"})
    line = ask(partner, ROOK, "b1b8")
    partner.set_position(ROOK, ["b1b7"])
    assert rows(place, "SELECT line FROM games") == [(line,)]
    partner.finish()


def test_facts_are_written_when_no_more_come_and_at_the_end(tmp_path: Path) -> None:
    place, lines = tmp_path / "record.sqlite", SimpleQueue[bytes | None]()
    messages = [
        ["pupil", "Mia"],
        ["position", 1.0, ROOK, ["b1b8"]],
        ["answer", "c3c2", 1.5, False, False],
    ]
    stream = io.BytesIO(b"".join(json.dumps(message).encode() + b"\n" for message in messages) + b'["new ga')
    read_lines(stream, lines)
    serve(Clerk(pytest.fail, place), lines)
    assert rows(place, "SELECT line, finished, ending FROM games") == [("b1b8 c3c2", 1, "")]


def test_where_facts_never_stop_coming_the_game_is_written_now_and_then(tmp_path: Path) -> None:
    place, lines = tmp_path / "record.sqlite", SimpleQueue[bytes | None]()
    for message in (["pupil", "Mia"], ["position", 1.0, ROOK, ["b1b8"]], ["answer", "c3c2", 1.5, False, False]):
        lines.put(json.dumps(message).encode())
    seen = list[object]()

    class Looking(Clerk):
        def take(self, message: list[object]) -> None:
            super().take(message)
            seen.append(place.exists())

    lines.put(b'["new game"]')
    lines.put(b'["new game"]')
    lines.put(None)
    serve(Looking(pytest.fail, place), lines, iter(range(0, 1000, 4)).__next__)
    assert seen == [False, False, False, False, True]


def test_the_end_of_the_clerk_is_told_and_what_it_says_is_passed_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path))
    said, gone = SimpleQueue[str](), threading.Event()
    real = Errand(said.put, gone.set)
    for message in (("pupil", "Mia"), ("position", 1.0, ROOK, ["b1b8"]), ("answer", "c3c2", 1.5, False, False)):
        real.send(message)
    assert "expected a record that can be read and written" in said.get()
    assert not gone.is_set()
    real._process.kill()
    assert gone.wait(60)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_clerk_that_takes_nothing_is_given_up_before_its_messages_fill_the_memory() -> None:
    gone = threading.Event()
    real = Errand(pytest.fail, gone.set)
    real._process.send_signal(signal.SIGSTOP)
    for number in count():
        real.send(("position", float(number), ROOK, ["b1b8"] * 400))
        if not real.is_alive:
            break
        assert number < 10_000
        if number >= 4_200:
            real._hearing.join(60)
    assert gone.wait(60)


def test_without_a_pupil_nothing_of_the_record_is_loaded() -> None:
    source = (
        "import sys; from matebot.partner import MatePartner; MatePartner().finish(); "
        "print([name for name in ('sqlite3', 'json', 'subprocess') if name in sys.modules], "
        "sorted(name for name in sys.modules if name.startswith('matebot.practice')))"
    )
    done = subprocess.run([sys.executable, "-c", source], capture_output=True, text=True, check=True)
    assert done.stdout.split("] ")[1].strip() == (
        "['matebot.practice', 'matebot.practice.names', 'matebot.practice.watch']"
    )
    assert "sqlite3" not in done.stdout


def test_a_record_is_made_only_for_a_game(place: Path) -> None:
    partner = MatePartner({"Pupil": "Mia"})
    partner.finish()
    assert not place.exists()
    Record(place, pytest.fail).close()
