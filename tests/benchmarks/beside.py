"""Measure whether answers come later with the record on: the same games in several sessions, question by question.

    .venv/bin/python -m tests.benchmarks.beside [GAMES] [PAUSE_SECONDS] [REPEATS]

One session has a pupil, the two others have none; each question is put to all, in changing order. What the second of
these differs by from the first is the noise of the machine. Without a pause the
next question follows each answer at once, which no pupil does; with one the record is written meanwhile. On a busy
machine each question may be put several times, and the shortest time counts. The processor's time, of all threads of
a session, is shown where the system tells it: it hardly depends on what else the machine does.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path
from random import Random
from statistics import median, quantiles
from tempfile import TemporaryDirectory

import chess

FENS = ("8/8/3k4/8/3K4/3B4/3N4/8 w - - 0 1", "8/8/8/8/8/2k5/8/KR6 w - - 0 1", "8/8/8/4k3/8/8/8/KQ6 w - - 0 1")
PLIES = 30


class Program:
    """One session."""

    def __init__(self, folder: str, pupil: str) -> None:
        environment = {**os.environ, "MATEBOT_TABLES": folder, "MATEBOT_RECORD": f"{folder}/record.sqlite"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "matebot"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment
        )
        self.send(f"setoption name Pupil value {pupil}" if pupil else "isready")

    def send(self, text: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(text + "\n")
        self.process.stdin.flush()

    def processor_ms(self) -> float:
        """Return the processor's time all threads have taken, in milliseconds; 0 where the system does not tell."""
        tasks = Path(f"/proc/{self.process.pid}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e6

    def ask(self, text: str) -> tuple[float, float, str]:
        """Return how long an answer took and the processor's time for it, in milliseconds, and the move."""
        assert self.process.stdout is not None
        before, begin = self.processor_ms(), time.perf_counter()
        self.send(f"{text}\ngo movetime 10000")
        while not (line := self.process.stdout.readline()).startswith("bestmove"):
            assert line
        took = (time.perf_counter() - begin) * 1000
        return took, self.processor_ms() - before, line.split()[1]


def main() -> None:
    games = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    pause = float(sys.argv[2]) if len(sys.argv) > 2 else 0.0
    repeats = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    random = Random(1)
    # The record may still be judged when the session has ended.
    with TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        programs = {"record": Program(folder, "Mia"), "none": Program(folder, ""), "noise": Program(folder, "")}
        took: dict[str, list[tuple[float, ...]]] = {name: [] for name in programs}
        for number in range(games + 3):
            board = chess.Board(FENS[number % 3])
            for program in programs.values():
                program.send("ucinewgame")
            while len(board.move_stack) < PLIES and not board.is_game_over():
                board.push(random.choice(list(board.legal_moves)))
                if board.is_game_over():
                    break
                moves = " ".join(move.uci() for move in board.move_stack)
                text = f"position fen {FENS[number % 3]} moves {moves}"
                answers = {}
                spent: dict[str, list[tuple[float, float]]] = {name: [] for name in programs}
                for name in [name for _ in range(repeats) for name in random.sample(list(programs), 3)]:
                    wall, processor, answers[name] = programs[name].ask(text)
                    spent[name].append((wall, processor))
                if number >= 3:  # the endings are solved by then
                    for name, times in spent.items():
                        took[name].append(tuple(min(column) for column in zip(*times, strict=True)))
                assert answers["record"] == answers["none"]
                board.push_uci(answers["none"])
                time.sleep(pause)
        for program in programs.values():
            program.send("quit")
            program.process.wait()
        _show(took, pause)
        print(f"record {Path(folder, 'record.sqlite').stat().st_size / 1024:.0f} KiB")


def _show(took: dict[str, list[tuple[float, ...]]], pause: float) -> None:
    print(f"{len(took['none'])} answers, pause {pause} s; milliseconds")
    for number, clock in enumerate(("wall", "processor")):
        own = {name: [times[number] for times in all_times] for name, all_times in took.items()}
        for other in ("record", "noise"):
            own[f"{other} - none"] = [a - b for a, b in zip(own[other], own["none"], strict=True)]
        for name, times in own.items():
            cut = quantiles(times, n=100)
            print(f"{clock:<9} {name:<13} median {median(times):7.3f}  90 % {cut[89]:7.2f}  99 % {cut[98]:7.2f}")


if __name__ == "__main__":
    main()
