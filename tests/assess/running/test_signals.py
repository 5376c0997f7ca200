"""Signals at any time: no assessment hangs, none leaves a process, none ends in a traceback."""

from __future__ import annotations

import random
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.assess.command import PATIENCE_SECONDS, ROOT, UNHURRIED
from tests.assess.engines.test_processes import LOOK_SECONDS, alive, gone, linux, marked
from tests.warm_processes import warm_python

FAMILY = Path(__file__).parents[1] / "engines" / "family.py"
TEMPERS = ("obedient", "stubborn", "slow", "crashing", "deserting")
SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
DAILY, ALL = 3, 200

#: The program with an output pipe that is full already.
FULL_PIPE = """
import os, sys
os.set_blocking(1, False)
try:
    while True: os.write(1, b"x" * 512)
except BlockingIOError:
    os.set_blocking(1, True)
from matebot.cli import main
sys.exit(main(sys.argv[1:]))
"""


def family(temper: str, mark: str) -> str:
    return shlex.join([sys.executable, str(FAMILY), temper, mark])


def started(*arguments: str, folder: Path, python: str | None = None) -> subprocess.Popen[str]:
    words = ["--ending", "KQK", "--movetime", "50", "--patience", str(PATIENCE_SECONDS), *arguments]
    return subprocess.Popen(
        [python or warm_python(), "-m", "matebot", "assess", *words, "--report", str(folder / "run.json")],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


def waited(process: subprocess.Popen[str]) -> str:
    """Wait for the end of a process and return what it said on the error stream."""
    try:
        return process.communicate(timeout=PATIENCE_SECONDS)[1]
    finally:
        process.kill()
        process.wait()


def until_alive(mark: str, process: subprocess.Popen[str]) -> None:
    while not alive(mark):
        assert process.poll() is None
        time.sleep(LOOK_SECONDS)


@linux
@pytest.mark.parametrize(("sent", "temper"), [*zip(SIGNALS, ("stubborn", "obedient", "stubborn"), strict=True)])
def test_a_signal_ends_a_run_and_the_whole_family_of_its_engines(
    tmp_path: Path, sent: signal.Signals, temper: str
) -> None:
    mark = marked(tmp_path)
    process = started("--engine", family(temper, mark), "--count", "100", "--jobs", "2", folder=tmp_path)
    until_alive(mark, process)
    process.send_signal(sent)
    said = waited(process)
    assert process.returncode == 130
    assert "Traceback" not in said
    assert gone(mark)


@linux
def test_two_quick_interruptions_leave_no_traceback_and_a_whole_report(tmp_path: Path) -> None:
    mark = marked(tmp_path)
    process = started("--engine", family("stubborn", mark), "--count", "100", folder=tmp_path)
    while not (tmp_path / "run.json").exists():
        assert process.poll() is None
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    process.send_signal(signal.SIGTERM)
    said = waited(process)
    assert process.returncode == 130
    assert "Traceback" not in said
    assert f"continue with: matebot assess --continue {tmp_path / 'run.json'}" in said
    assert gone(mark)
    assert [path.name for path in tmp_path.iterdir()] == ["run.json"]


@linux
def test_whoever_insists_is_obeyed_though_nobody_reads_the_report(tmp_path: Path) -> None:
    """The report is printed into a pipe that is full; the third signal leaves at once."""
    mark = marked(tmp_path)
    report = tmp_path / "run.json"
    words = ["assess", "--engine", family("obedient", mark), "--ending", "KQK", "--count", "100"]
    process = subprocess.Popen(
        [warm_python(), "-c", FULL_PIPE, *words, "--report", str(report)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    while not report.exists():
        assert process.poll() is None
        time.sleep(0.02)
    # Signals of one kind that come before the first is taken count once.
    while process.poll() is None:
        for sent in SIGNALS:
            process.send_signal(sent)
        time.sleep(0.05)
    assert process.returncode == 130
    assert process.stdout is not None
    process.stdout.close()
    assert gone(mark)


@linux
def test_a_run_that_is_to_outlive_its_terminal_does(tmp_path: Path) -> None:
    """POSIX, signal actions inherited from exec: what is ignored at the start stays ignored, as ``nohup`` relies on."""
    mark = marked(tmp_path)
    source = "import signal, sys; signal.signal(signal.SIGHUP, signal.SIG_IGN)\nfrom matebot.cli import main\n"
    words = [
        "assess",
        "--engine",
        family("obedient", mark),
        "--ending",
        "KQK",
        "--count",
        "20",
        "--as",
        "analysis",
        *UNHURRIED,
    ]
    process = subprocess.Popen(
        [warm_python(), "-c", f"{source}sys.exit(main(sys.argv[1:]))", *words],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    until_alive(mark, process)
    process.send_signal(signal.SIGHUP)
    assert "20 of 20 done" in waited(process)
    assert process.returncode == 0
    assert gone(mark)


@linux
@pytest.mark.parametrize(
    "seed", [pytest.param(seed, marks=[pytest.mark.exhaustive] if seed >= DAILY else []) for seed in range(ALL)]
)
def test_signals_in_random_places_neither_hang_a_run_nor_leave_a_process(tmp_path: Path, seed: int) -> None:
    chance, mark = random.Random(seed), marked(tmp_path)
    engines = ["--engine", family(chance.choice(TEMPERS), mark)]
    if chance.random() < 0.3:
        engines += ["--against", family(chance.choice(TEMPERS), mark)]
    jobs = str(chance.randint(1, 3))
    process = started(*engines, "--count", "12", "--jobs", jobs, folder=tmp_path, python=sys.executable)
    try:
        if chance.random() < 0.8:  # or else while the program is loading
            until_alive(mark, process)
        own_ways = bool(alive(mark))
        for _ in range(chance.randint(1, 4)):
            time.sleep(chance.choice((0, chance.uniform(0, 0.05), chance.uniform(0, 2.5))))
            if process.poll() is None:
                process.send_signal(chance.choice(SIGNALS))
    finally:
        said = waited(process)
    assert gone(mark), f"expected no process left, got {alive(mark)}: {said}"
    if own_ways:
        # The last of several signals may come when all is done and the interpreter no longer takes any.
        assert process.returncode in (0, 2, 130, *(-number for number in SIGNALS)), said
        assert "Traceback" not in said
    assert {path.name for path in tmp_path.iterdir()} <= {"run.json"}
