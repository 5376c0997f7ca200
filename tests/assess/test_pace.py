"""Five hundred games with two jobs: pace and memory. Takes a minute or two, so it is not among the daily tests."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.assess.running import ROOT

GAMES, LEAST_PER_SECOND, MOST_GROWTH_KIB = 500, 5.0, 16 * 1024


def resident_kib(pid: int) -> int:
    return int(subprocess.run(["ps", "-o", "rss=", "-p", str(pid)], capture_output=True, text=True, check=True).stdout)


@pytest.mark.exhaustive
@pytest.mark.timeout(600)
def test_five_hundred_games_keep_their_pace_and_the_memory_flat(tmp_path: Path) -> None:
    path = tmp_path / "run.json"
    wanted = ["--report", str(path), "--require", "excess_moves_max==0"]
    command = ["--engine", "matebot", "--as", "attack", "--ending", "KBNK", "--count", str(GAMES), "--jobs", "2"]
    started, sizes = time.monotonic(), []
    with subprocess.Popen(
        [sys.executable, "-m", "matebot", "assess", *command, *wanted],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stderr is not None
        # A line comes with every twentieth of the games; at the last the process may be gone.
        for line in process.stderr:
            if not line.startswith(f"{GAMES} of"):
                sizes.append(resident_kib(process.pid))
    assert process.returncode == 0
    assert json.loads(path.read_text())["measures"]["wins"] == 1
    assert GAMES / (time.monotonic() - started) >= LEAST_PER_SECOND
    assert sizes[-1] - sizes[1] < MOST_GROWTH_KIB
