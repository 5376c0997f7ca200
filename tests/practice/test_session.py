"""Games played in an interface: python-chess's UCI client with the real program; sqlite3 alone reads the record."""

from __future__ import annotations

import os
import signal
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import chess
import chess.engine
import pytest

from matebot.cli import main
from matebot.play.ranking import ranked
from matebot.solver.store import default_folder
from matebot.solver.tables import Tables
from tests.conformance.process import Engine
from tests.warm_processes import warm_python

KNIGHT = "8/8/3k4/8/3K4/3B4/3N4/8 w - - 0 1"
ROOK = "8/8/8/8/8/2k5/8/KR6 w - - 0 1"
LIMIT = chess.engine.Limit(time=20)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    return tmp_path / "record.sqlite"


def rows(place: Path | str, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(place, uri=isinstance(place, str))) as connection:
        return connection.execute(query).fetchall()


def finished(place: Path) -> int:
    """Return how many finished games are in the record; the session does not wait for them on a busy machine."""
    try:
        return len(rows(f"file:{place}?mode=ro", "SELECT 1 FROM games WHERE finished"))
    except sqlite3.OperationalError:  # not there yet
        return 0


def moves_written(place: Path) -> int:
    """Return how many moves the record holds of the one game in it, 0 where nothing is there yet."""
    try:
        return int(str(rows(f"file:{place}?mode=ro", "SELECT coalesce(max(moves), 0) FROM games")[0][0]))
    except sqlite3.OperationalError:
        return 0


def wait_for(condition: Callable[[], bool]) -> None:
    while not condition():
        time.sleep(0.02)


def complete_record() -> None:
    """Judge what has not been judged yet, as every command about pupils does."""
    assert main(["record"]) == 0


class Game:
    """A game of the pupil in an interface."""

    def __init__(self, engine: chess.engine.SimpleEngine, fen: str) -> None:
        self.engine, self.board, self.key = engine, chess.Board(fen), object()
        self.tables = Tables(default_folder())

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
    with chess.engine.SimpleEngine.popen_uci([warm_python(), "-m", "matebot"], timeout=60) as opened:
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
    wait_for(lambda: finished(place) == 1)
    complete_record()
    assert rows(place, "SELECT fen, move, taken_back FROM moves ORDER BY number") == moves
    (kept,) = rows(place, "SELECT source, colour, fen, line, result, finished, takebacks, ending, side FROM games")
    assert kept == ("session", "white", KNIGHT, game.line, "broken off", 1, 1, "KBNK", "attack")
    assert rows(place, "SELECT name FROM pupils") == [("Zoë",)]
    slips = [lost for (lost,) in rows(place, "SELECT moves_lost FROM moves ORDER BY number")]
    assert slips[1] != 0
    assert slips[0] == slips[2] == slips[3] == 0


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_session_that_is_killed_loses_nothing_of_its_game(place: Path) -> None:
    with Engine(None, python=sys.executable) as engine:
        engine.send("setoption name Pupil value Mia")
        line = "b1b8"
        for mine in ("", "b8b7", "b7b6"):
            line = f"{line} {mine}".strip()
            line += " " + engine.ask(f"position fen {ROOK} moves {line}", "go movetime 5000")[-1].split()[1]
        wait_for(lambda: moves_written(place) == 3)
        os.kill(engine.process.pid, signal.SIGKILL)
        engine.process.wait()
    wait_for(lambda: finished(place) == 1)
    assert rows(place, "SELECT line, moves FROM games") == [(line, 3)]
    assert rows(place, "PRAGMA integrity_check") == [("ok",)]


def test_the_session_says_nothing_of_the_record_and_starts_without_it(place: Path) -> None:
    with Engine(None, python=sys.executable) as engine:
        engine.send("uci")
        assert "option name Pupil type string default <empty>" in engine.until("uciok")
        engine.send("setoption name Pupil value Mia", "isready")
        assert engine.until("readyok") == ["readyok"]
    assert not place.exists()
