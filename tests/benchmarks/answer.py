"""Measure answering: ``python tests/benchmarks/answer.py`` prints one JSON object, seconds and milliseconds.

``to_uciok_s`` beside ``import_chess_s`` (medians of 20, taken in turns), ``first_answer_s`` from process start with
nothing kept and with everything kept, and ``go_ms`` warm: median and 99th percentile of ``go`` to ``bestmove`` over
random positions, without and with full explanations. With a folder behind it only the last, of the endings of five
men that are kept there.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from random import Random

import chess

KBNK = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
ENDINGS = ("KBNK", "KRK", "KBBK", "KQK", "KPK", "KQKR", "KRKP", "KPKP", "KRKN")


class Session:
    """The program in a process of its own."""

    def __init__(self, folder: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "matebot"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "MATEBOT_TABLES": folder},
        )

    def ask(self, text: str, end: str) -> float:
        """Send text and return the seconds until a line that begins so."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        begun = time.perf_counter()
        self.process.stdin.write(text)
        self.process.stdin.flush()
        while not self.process.stdout.readline().startswith(end):
            pass
        return time.perf_counter() - begun

    def end(self) -> None:
        """Let the process go."""
        self.ask("quit\nisready\n", "") if self.process.poll() is None else None
        self.process.kill()
        self.process.wait()


def starts(folder: str) -> tuple[float, float]:
    """Return the medians of start to ``uciok`` and of importing chess."""
    ours, theirs = [], []
    for _ in range(20):
        begun = time.perf_counter()
        session = Session(folder)
        session.ask("uci\n", "uciok")
        ours.append(time.perf_counter() - begun)
        session.process.kill()
        session.process.wait()
        begun = time.perf_counter()
        subprocess.run([sys.executable, "-c", "import chess"], check=True)
        theirs.append(time.perf_counter() - begun)
    return statistics.median(ours), statistics.median(theirs)


def first(folder: str, fen: str) -> float:
    """Return the seconds from process start to the first ``bestmove``."""
    begun = time.perf_counter()
    session = Session(folder)
    session.ask(f"position fen {fen}\ngo\n", "bestmove")
    seconds = time.perf_counter() - begun
    time.sleep(1)  # what was solved is being kept
    session.process.kill()
    session.process.wait()
    return seconds


def positions(ending: str, count: int) -> list[str]:
    """Return random legal positions with a legal move."""
    random = Random(ending)
    found: list[str] = []
    cut = ending.rindex("K")
    while len(found) < count:
        board = chess.Board(None)
        for index, (man, square) in enumerate(zip(ending, random.sample(range(64), len(ending)), strict=True)):
            board.set_piece_at(square, chess.Piece.from_symbol(man if index < cut else man.lower()))
        board.turn = random.random() < 0.5
        if board.is_valid() and any(board.legal_moves):
            found.append(board.fen())
    return found


def warm(folder: str, level: str, endings: tuple[str, ...] = ENDINGS) -> dict[str, dict[str, float]]:
    """Return median and 99th percentile of ``go`` for each ending, in milliseconds."""
    session = Session(folder)
    found: dict[str, dict[str, float]] = {}
    session.ask(f"setoption name Explanations value {level}\nisready\n", "readyok")
    for ending in endings:
        times = []
        for number, fen in enumerate(positions(ending, 320)):
            session.ask(f"position fen {fen}\nisready\n", "readyok")
            seconds = session.ask("go\n", "bestmove")
            if number >= 20:
                times.append(1000 * seconds)
        times.sort()
        found[ending] = {"median": round(times[150], 2), "p99": round(times[296], 2)}
    session.process.kill()
    session.process.wait()
    return found


def main() -> None:
    """Measure everything and print it."""
    if len(sys.argv) > 1:
        large = tuple(sorted(path.stem for path in Path(sys.argv[1]).glob("?????.ending")))
        print(json.dumps({"go_ms": {level: warm(sys.argv[1], level, large) for level in ("off", "full")}}, indent=2))
        return
    with tempfile.TemporaryDirectory() as folder:
        ours, theirs = starts(folder)
        nothing = first(folder, KBNK)
        kept = first(folder, KBNK)
        figures = {
            "to_uciok_s": round(ours, 4),
            "import_chess_s": round(theirs, 4),
            "first_answer_s": {"nothing kept": round(nothing, 3), "kept": round(kept, 3)},
            "first_pawn_answer_s": round(first(folder, "8/8/8/4p3/8/8/4P3/K6k w - - 0 1"), 3),
            "go_ms": {level: warm(folder, level) for level in ("off", "full")},
        }
    print(json.dumps(figures, indent=2))


if __name__ == "__main__":
    main()
