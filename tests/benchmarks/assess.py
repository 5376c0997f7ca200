"""Measure an assessment: games a second, and what the memory grows by, over five hundred games with two jobs.

.venv/bin/python -m tests.benchmarks.assess
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

GAMES = 500


def resident_kib(pid: int) -> int:
    """Return the memory of a process."""
    return int(subprocess.run(["ps", "-o", "rss=", "-p", str(pid)], capture_output=True, text=True, check=True).stdout)


def five_hundred() -> tuple[float, list[int]]:
    """Let the program play the longest mates against itself; return the seconds, and its memory from time to time."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "run.json"
        words = ["--engine", "matebot", "--as", "attack", "--ending", "KBNK", "--count", str(GAMES), "--jobs", "2"]
        words += ["--report", str(path), "--require", "excess_moves_max==0"]
        begun, sizes = time.monotonic(), []
        with subprocess.Popen(
            [sys.executable, "-m", "matebot", "assess", *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        ) as process:
            assert process.stderr is not None
            # A line comes with every twentieth of the games; at the last the process may be gone.
            for line in process.stderr:
                if not line.startswith(f"{GAMES} of"):
                    sizes.append(resident_kib(process.pid))
        seconds = time.monotonic() - begun
        assert process.returncode == 0
        assert json.loads(path.read_text())["measures"]["wins"] == 1
    return seconds, sizes


if __name__ == "__main__":
    seconds, sizes_kib = five_hundred()
    print(f"{GAMES / seconds:.1f} games a second, {(sizes_kib[-1] - sizes_kib[1]) / 1024:+.1f} MiB")
