"""No process of an engine is left behind, and no engine's talk fills the disk."""

from __future__ import annotations

import shlex
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from tests.assess.running import ROOT, SMALL, Assess

linux = pytest.mark.skipif(sys.platform != "linux", reason="finds processes by the system's own list")


def alive(mark: str) -> list[str]:
    """Return the processes with a word in their command line."""
    found = []
    for words in Path("/proc").glob("[0-9]*/cmdline"):
        with suppress(OSError):
            if mark.encode() in words.read_bytes().split(b"\0"):
                found.append(words.parent.name)
    return found


def gone(mark: str) -> bool:
    end = time.monotonic() + 10
    while alive(mark) and time.monotonic() < end:
        time.sleep(0.02)
    return not alive(mark)


def behind_a_shell(fault: str, mark: str) -> str:
    """Return a command whose engine is a child of a shell; the mark stands in the engine's command line only."""
    inner = shlex.join([sys.executable, str(SMALL), fault, mark])
    return shlex.join(["sh", "-c", f"{inner}; true"])


@linux
def test_a_hung_engine_behind_a_shell_is_ended_with_it(assess: Assess, tmp_path: Path) -> None:
    mark = f"mark-{tmp_path.name}-hung"
    arguments = ("--suite", assess.suite(), "--as", "attack", "--patience", "0.5", "--movetime", "50")
    run = assess("--engine", behind_a_shell("silent", mark), *arguments)
    assert run.fault_kinds == {"hang"}
    assert gone(mark)


@linux
@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGINT])
def test_an_interruption_in_the_handshake_ends_the_engine_at_once(tmp_path: Path, sent: signal.Signals) -> None:
    mark = f"mark-{tmp_path.name}"
    engine = behind_a_shell("mute", mark)
    command = [sys.executable, "-m", "matebot", "assess", "--engine", engine, "--ending", "KQK", "--count", "1"]
    process = subprocess.Popen(command, cwd=ROOT, stderr=subprocess.DEVNULL)
    while not alive(mark):
        assert process.poll() is None
        time.sleep(0.02)
    process.send_signal(sent)
    assert process.wait(8) == 130
    assert gone(mark)


def test_of_a_very_long_line_only_the_beginning_is_kept(assess: Assess) -> None:
    run = assess(*assess.engine("rant"), "--suite", assess.suite(), "--as", "attack")
    assert run.fault_kinds == {"rubbish"}
    assert (assess.folder / "run.json").stat().st_size < 100_000
