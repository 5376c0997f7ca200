"""Measure a large record: ten thousand games of three pupils; how long `due` and `progress` take from process start.

.venv/bin/python -m tests.benchmarks.practice [GAMES]
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from datetime import date, timedelta
from pathlib import Path
from random import Random
from statistics import median
from tempfile import TemporaryDirectory

from matebot.ideas.slip_kinds import SlipKind
from matebot.practice.notes import Exercise, Grade, Passage
from matebot.practice.record import Record
from matebot.practice.writing import save_all
from tests.practice.games import game
from tests.practice.year import STAGES

REPEATS = 5


def fill(place: Path, count: int) -> None:
    """Write so many games over three years, each through all stages from the one it begins in, 20 moves each."""
    random, record = Random(1), Record(place, print)
    exercises = [
        Exercise(ending, stage, "attack") for ending, stages in STAGES.items() for stage in range(1, stages + 1)
    ]
    games = []
    for number in range(count):
        day = date.today() - timedelta(1095 - 1095 * number // count)
        first = random.choice(exercises)
        parts = [
            Passage(Exercise(first.ending, stage, "attack"), 8, 6, 2, Grade(random.randrange(1, 5)))
            for stage in range(first.stage, STAGES[first.ending] + 1)
        ]
        played = game(
            str(number),
            ("Änne", "Bo", "Chidi")[number % 3],
            day=day.isoformat(),
            exercise=first,
            slip=random.choice(list(SlipKind)).value if random.random() < 0.6 else None,
            moves=20,
            lost=random.randrange(5),
            parts=tuple(parts),
        )
        games.append(played)
    save_all(record, games)
    record.close()


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with TemporaryDirectory() as folder:
        place = Path(folder) / "record.sqlite"
        fill(place, count)
        print(f"{count:,} games, {place.stat().st_size / 2**20:.1f} MiB")
        environment = {**os.environ, "MATEBOT_RECORD": str(place), "MATEBOT_TABLES": folder}
        for arguments in (["--version"], ["due"], ["due", "--pupil", "Bo"], ["progress"], ["progress", "--pupil", "Bo"],
                          ["progress", "--html", f"{folder}/p.html"], ["progress", "--json"]):  # fmt: skip
            wall, processor = [], []
            for _ in range(REPEATS):
                before, begin = os.times(), time.perf_counter()
                subprocess.run(
                    [sys.executable, "-m", "matebot", *arguments],
                    env=environment,
                    check=True,
                    stdout=subprocess.DEVNULL,
                )
                after = os.times()
                wall.append(time.perf_counter() - begin)
                used = after.children_user + after.children_system - before.children_user - before.children_system
                processor.append(used)
            what = " ".join(arguments[:3])
            print(f"{what:<24} {median(wall):.2f} s, {median(processor):.2f} s of the processor")


if __name__ == "__main__":
    main()
