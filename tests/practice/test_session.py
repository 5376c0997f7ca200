"""Games played in an interface: python-chess's UCI client with the real program; sqlite3 alone reads the record."""

from __future__ import annotations

import os
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

import chess
import chess.engine
import pytest

from matebot.cli import main
from matebot.play.ranking import ranked
from matebot.solver.tables import Tables
from tests.conformance.process import Engine

KNIGHT = "8/8/3k4/8/3K4/3B4/3N4/8 w - - 0 1"
ROOK = "8/8/8/8/8/2k5/8/KR6 w - - 0 1"
LIMIT = chess.engine.Limit(time=20)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    monkeypatch.setenv("MATEBOT_TABLES", str(tmp_path / "tables"))
    return tmp_path / "record.sqlite"


def rows(place: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(place)) as connection:
        return connection.execute(query).fetchall()


def complete_record() -> None:
    """Judge what a session ending on a busy machine had no time for, as every command about pupils does."""
    assert main(["record"]) == 0


class Game:
    """A game of the pupil in an interface."""

    def __init__(self, engine: chess.engine.SimpleEngine, fen: str) -> None:
        self.engine, self.board, self.key = engine, chess.Board(fen), object()
        self.tables = Tables()

    def move(self, text: str | None = None) -> str:
        """Make a move, the best one by default, and let the engine answer."""
        move = ranked(self.board, self.tables)[0].move if text is None else self.board.parse_san(text)
        self.board.push(move)
        answer = self.engine.play(self.board, LIMIT, game=self.key).move
        assert answer is not None
        self.board.push(answer)
        return move.uci()

    def back(self) -> None:
        self.board.pop()
        self.board.pop()

    @property
    def line(self) -> str:
        return " ".join(move.uci() for move in self.board.move_stack)


@pytest.fixture
def engine(place: Path) -> Iterator[chess.engine.SimpleEngine]:
    with chess.engine.SimpleEngine.popen_uci([sys.executable, "-m", "matebot"], timeout=60) as opened:
        opened.configure({"Pupil": "Zoë"})
        yield opened


def test_a_game_with_a_takeback_and_a_quit_is_in_the_record_move_for_move(
    engine: chess.engine.SimpleEngine, place: Path
) -> None:
    game = Game(engine, KNIGHT)
    moves = [(KNIGHT, game.move(), 0)]
    before = game.board.fen()
    moves.append((before, game.move("Kc3"), 1))
    game.back()
    moves.append((game.board.fen(), game.move(), 0))
    moves.append((game.board.fen(), game.move(), 0))
    engine.quit()
    assert rows(place, "SELECT fen, move, taken_back FROM moves ORDER BY number") == moves
    complete_record()
    assert rows(place, "SELECT fen, move, taken_back FROM moves ORDER BY number") == moves
    (kept,) = rows(place, "SELECT source, colour, fen, line, result, finished, takebacks, ending, side FROM games")
    assert kept == ("session", "white", KNIGHT, game.line, "broken off", 1, 1, "KBNK", "attack")
    assert rows(place, "SELECT name FROM pupils") == [("Zoë",)]
    slips = [lost for (lost,) in rows(place, "SELECT moves_lost FROM moves ORDER BY number")]
    assert slips[1] != 0
    assert slips[0] == slips[2] == slips[3] == 0


def test_games_follow_each_other_and_the_mate_that_is_not_seen_counts(
    engine: chess.engine.SimpleEngine, place: Path
) -> None:
    first = Game(engine, ROOK)
    first.move()
    first.move()
    second = Game(engine, "k7/8/2K5/8/8/8/8/1Q6 w - - 0 1")
    second.move("Kc7")
    engine.quit()
    assert rows(place, "SELECT line, result, finished FROM games ORDER BY id") == [
        (first.line, "broken off", 1),
        ("c6c7 a8a7", "mate in one reached", 1),
    ]
    complete_record()
    assert rows(place, "SELECT grade FROM passages ORDER BY game DESC LIMIT 1") == [(4,)]


def test_a_defence_is_kept_as_a_defence(engine: chess.engine.SimpleEngine, place: Path) -> None:
    game = Game(engine, "8/8/8/4k3/8/8/8/KQ6 b - - 0 1")
    game.move()
    game.move()
    engine.quit()
    complete_record()
    assert rows(place, "SELECT side, colour, moves FROM games") == [("defence", "black", 2)]


def test_nothing_is_kept_without_a_name(place: Path) -> None:
    with chess.engine.SimpleEngine.popen_uci([sys.executable, "-m", "matebot"], timeout=60) as engine:
        Game(engine, ROOK).move()
        engine.configure({"Pupil": "Zoë"})
        engine.configure({"Pupil": ""})
        Game(engine, ROOK).move()
        engine.quit()
    assert not place.exists()


@pytest.mark.parametrize("name", ["x" * 101, "a\x07b"])
def test_what_is_no_name_is_told_in_one_line_and_play_goes_on(tmp_path: Path, place: Path, name: str) -> None:
    with Engine(tmp_path / "tables") as engine:
        engine.send(f"setoption name Pupil value {name}")
        said = engine.ask(f"position fen {ROOK} moves b1b8", "go movetime 5000")
        assert sum("expected a pupil's name" in line for line in said) == 1
        assert said[-1] != "bestmove 0000"
    assert not place.exists()


def test_a_record_that_cannot_be_kept_is_told_in_one_line_and_play_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path))
    with Engine(tmp_path / "tables") as engine:
        engine.send("setoption name Pupil value Mia")
        said: list[str] = []
        for _ in count():
            said += engine.ask(f"position fen {ROOK} moves b1b8", "go movetime 5000")
            assert said[-1] != "bestmove 0000"
            if any("play goes on without a record" in line for line in said):
                break
        said = engine.ask(f"position fen {ROOK} moves b1b7", "go movetime 5000")
        assert not any("record" in line for line in said)


def wait_for(condition: Callable[[], bool]) -> None:
    for _ in count():
        if condition():
            return


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_session_that_is_killed_keeps_what_had_been_written(tmp_path: Path, place: Path) -> None:
    with Engine(tmp_path / "tables") as engine:
        engine.send("setoption name Pupil value Mia")
        reply = engine.ask(f"position fen {ROOK} moves b1b8", "go movetime 5000")[-1].split()[1]
        wait_for(lambda: place.exists() and place.with_name(place.name + "-wal").exists() and bool(_lines(place)))
        os.kill(engine.process.pid, 9)
        engine.process.wait()
    assert _lines(place) == [(f"b1b8 {reply}",)]
    assert rows(place, "PRAGMA integrity_check") == [("ok",)]


def _lines(place: Path) -> list[tuple[object, ...]]:
    try:
        return rows(place, "SELECT line FROM games")
    except sqlite3.OperationalError:  # not there yet
        return []


def test_the_session_says_nothing_of_the_record_and_starts_without_it(tmp_path: Path, place: Path) -> None:
    with Engine(tmp_path / "tables") as engine:
        engine.send("uci")
        assert "option name Pupil type string default <empty>" in engine.until("uciok")
        engine.send("setoption name Pupil value Mia", "isready")
        assert engine.until("readyok") == ["readyok"]
    assert not place.exists()
