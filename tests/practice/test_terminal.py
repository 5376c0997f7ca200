"""A whole practice game in a process of its own, at a terminal and without one; sqlite3 alone reads the record."""

from __future__ import annotations

import os
import re
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from io import StringIO
from pathlib import Path

import chess
import pytest

from matebot.cli import main
from matebot.play.ranking import ranked
from matebot.practice.record import Record
from matebot.solver.tables import Tables
from tests.warm_processes import warm_python

COMMAND = ["-m", "matebot", "practise", "--ending", "KRK", "--seed", "4"]
_REPLY = re.compile(r"^\d+\.(?:\.\.)? (\S+)\s*$", re.MULTILINE)
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there are no pseudo-terminals")


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    return {
        **os.environ,
        "MATEBOT_RECORD": str(tmp_path / "record.sqlite"),
        "TERM": "dumb",
    }


def rows(environment: dict[str, str], query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(environment["MATEBOT_RECORD"])) as connection:
        return connection.execute(query).fetchall()


class Terminal:
    """The program at a pseudo-terminal."""

    def __init__(self, python: str, environment: dict[str, str], *arguments: str) -> None:
        self.main, side = os.openpty()
        self.process = subprocess.Popen(
            [python, *COMMAND, *arguments],
            stdin=side,
            stdout=side,
            stderr=side,
            env=environment,
            start_new_session=True,
        )
        os.close(side)
        self.text = ""

    def until_prompt(self) -> str:
        """Return what is shown up to the next prompt or the end."""
        begin = len(self.text)
        while not self.text[begin:].endswith("> "):
            try:
                data = os.read(self.main, 4096)
            except OSError:  # so a pseudo-terminal ends
                data = b""
            if not data:
                break
            self.text += data.decode().replace("\r", "")
        return self.text[begin:]

    def type(self, text: str) -> str:
        os.write(self.main, text.encode())
        return self.until_prompt()

    def close(self) -> None:
        self.process.kill()
        self.process.wait()
        os.close(self.main)


@pytest.fixture
def terminal(environment: dict[str, str]) -> Iterator[Terminal]:
    opened = Terminal(warm_python(), environment, "--pupil", "Zoë")
    yield opened
    opened.close()


@pytest.fixture
def fresh_terminal(environment: dict[str, str]) -> Iterator[Terminal]:
    opened = Terminal(sys.executable, environment, "--pupil", "Zoë")
    yield opened
    opened.close()


def shown_board(text: str) -> chess.Board:
    """Return the last board that was shown, White to move, White below."""
    ranks = re.findall(r"^  [1-8]  ((?:\S ){7}\S)$", text, re.MULTILINE)[-8:]
    board = chess.Board(None)
    for rank, row in zip(range(7, -1, -1), ranks, strict=True):
        for file, symbol in enumerate(row.split()):
            if symbol != ".":
                board.set_piece_at(chess.square(file, rank), chess.Piece.from_symbol(symbol))
    return board


def test_a_whole_game_at_a_terminal_is_in_the_record_move_for_move(
    terminal: Terminal, environment: dict[str, str], tables: Tables
) -> None:
    board = shown_board(terminal.until_prompt())
    pupils: list[tuple[str, str, int]] = []
    played: list[str] = []

    def move(text: str | None = None) -> None:
        chosen = ranked(board, tables)[0].move if text is None else board.parse_san(text)
        pupils.append((board.fen(), chosen.uci(), 0))
        played.append(chosen.uci())
        board.push(chosen)
        said = terminal.type(f"{chosen.uci()}\n")
        reply = _REPLY.search(said)
        if reply is not None:
            played.append(board.push_san(reply[1]).uci())

    first = board.copy()
    retreat = ranked(board, tables)[-1].move
    assert ranked(board, tables)[-1].outcome > 0
    move(board.san(retreat))
    assert "Play" not in terminal.type("hin\t\n")
    assert terminal.type("why\n").strip()
    terminal.type("back\n")
    board = first.copy()
    played.clear()
    pupils[0] = (*pupils[0][:2], 1)
    terminal.type("board\n")
    terminal.type("flip\n")
    terminal.type("flip\n")
    while not board.is_game_over():
        move()
    assert board.is_checkmate()
    assert terminal.process.wait(60) == 0
    assert "You have won." in terminal.text
    assert "Due again:" in terminal.text
    (game,) = rows(environment, "SELECT id, fen, line, result, finished, takebacks, hints, colour FROM games")
    assert game[1:] == (first.fen(), " ".join(played), "won", 1, 1, 1, "white")
    assert rows(environment, "SELECT fen, move, taken_back FROM moves ORDER BY number") == pupils
    assert rows(environment, "SELECT name FROM pupils") == [("Zoë",)]
    assert all(seconds >= 0 for (seconds,) in rows(environment, "SELECT seconds FROM moves"))  # type: ignore[operator]


@pytest.mark.parametrize(("interrupted", "status"), [(False, 0), (True, 130)])
def test_a_game_left_by_the_keyboard_is_kept_as_broken_off(
    terminal: Terminal, environment: dict[str, str], tables: Tables, interrupted: bool, status: int
) -> None:
    board = shown_board(terminal.until_prompt())
    move = ranked(board, tables)[0].move
    terminal.type(f"{move.uci()}\n")
    if interrupted:  # as the key for it does
        terminal.process.send_signal(signal.SIGINT)
    else:
        terminal.type("\x04")
    assert terminal.process.wait(60) == status
    assert rows(environment, "SELECT move, taken_back FROM moves") == [(move.uci(), 0)]
    assert rows(environment, "SELECT result, finished FROM games") == [("broken off", 1)]


def test_a_game_whose_process_is_killed_keeps_every_move(
    fresh_terminal: Terminal, environment: dict[str, str], tables: Tables
) -> None:
    board = shown_board(fresh_terminal.until_prompt())
    move = ranked(board, tables)[0].move
    fresh_terminal.type(f"{move.uci()}\n")
    fresh_terminal.process.send_signal(signal.SIGKILL)
    fresh_terminal.process.wait()
    assert rows(environment, "SELECT move FROM moves") == [(move.uci(),)]
    assert rows(environment, "PRAGMA integrity_check") == [("ok",)]


def piped(environment: dict[str, str], text: bytes, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [warm_python(), *COMMAND, *arguments],
        input=text,
        capture_output=True,
        env=environment,
        timeout=100,
        check=False,
    )


def test_without_a_terminal_it_works_line_by_line(environment: dict[str, str]) -> None:
    done = piped(environment, b"hint\nboard\nflip\n\xff\xfe\nnonsense\nback\nresign\nquit\n")
    assert done.returncode == 0
    text = done.stdout.decode()
    assert "> " not in text
    assert "Aim:" in text
    assert text.count("expected a legal move") == 2
    assert "You resigned." in text


def test_without_a_name_nothing_is_kept(environment: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", environment["MATEBOT_RECORD"])
    monkeypatch.setattr("sys.stdin", StringIO("quit\n"))
    assert main(COMMAND[2:]) == 0
    assert not Path(environment["MATEBOT_RECORD"]).exists()


def test_the_same_seed_gives_the_same_position(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = []
    for seed in ("4", "4", "5"):
        monkeypatch.setattr("sys.stdin", StringIO("quit\n"))
        assert main(["practise", "--ending", "KRK", "--seed", seed]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1] != said[2]


def test_an_ending_may_be_named_in_words(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("sys.stdin", StringIO(""))
    assert main(["practise", "--ending", "bishop and knight", "--as", "defence", "--stage", "2", "--seed", "1"]) == 0
    assert "Practice: bishop and knight, stage 2 (drive the king to the edge), defence" in capsys.readouterr().out


def test_the_side_named_first_wins_though_its_men_are_the_lesser(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO(""))
    assert main(["practise", "--ending", "rook against queen", "--seed", "2"]) == 0
    said = capsys.readouterr().out
    colour = "White" if "You mate with White" in said else "Black"
    rows = re.findall(r"^  [1-8]  ((?:\S ){7}\S)$", said, re.MULTILINE)[-8:]
    assert ("R" if colour == "White" else "r") in " ".join(rows)
    assert f"{colour} mates in" in said


@pytest.mark.parametrize("place", ["/dev/null/record", "folder"])
def test_play_goes_on_where_there_can_be_no_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], place: str
) -> None:
    (tmp_path / "folder").mkdir()
    monkeypatch.setattr("sys.stdin", StringIO("hint\nquit\n"))
    assert main([*COMMAND[2:], "--pupil", "Zoë", "--record", str(tmp_path / place)]) == 0
    said = capsys.readouterr()
    assert "Aim:" in said.out
    assert said.err.count("play goes on without a record") == 1
    assert said.err.count("\n") - said.err.count("solv") <= 2


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--stage", "9"], "expected one stage of KRK"),
        (["--ending", "KXK"], "got 'KXK'"),
        (["--seed", "-1"], "expected a seed"),
        (["--profile", "none-such"], "expected a profile"),
        (["--pupil", " "], "expected a pupil's name"),
        (["--record", ""], "expected a file after --record"),
        (["--ending", "KBK"], "expected an ending with positions"),
    ],
)
def test_what_cannot_be_practised_is_told_in_one_line(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    words: str,
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    assert main([*COMMAND[2:], *arguments]) == 2
    assert words in capsys.readouterr().err.splitlines()[-1]


@pytest.mark.parametrize("line", ["quit", "resign"])
def test_a_game_without_a_move_of_the_pupil_is_said_not_to_be_kept(
    line: str, environment: dict[str, str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", environment["MATEBOT_RECORD"])
    monkeypatch.setattr("sys.stdin", StringIO(f"{line}\n"))
    assert main(["practise", "--ending", "KRK", "--seed", "4", "--pupil", "Mia"]) == 0
    assert capsys.readouterr().out.endswith("No move was made, so nothing is kept.\n")
    assert rows(environment, "SELECT count(*) FROM games") == [(0,)]


def test_the_record_says_when_nobody_is_in_it(
    environment: dict[str, str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", environment["MATEBOT_RECORD"])
    Record(Path(environment["MATEBOT_RECORD"]), print).close()
    assert main(["record"]) == 0
    assert capsys.readouterr().out == f"{environment['MATEBOT_RECORD']}\nNothing has been practised yet.\n"
