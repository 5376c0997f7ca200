"""No process of an engine is left behind, and no engine's talk fills the disk."""

from __future__ import annotations

import asyncio
import os
import shlex
import signal
import subprocess
import sys
import time
import tracemalloc
from contextlib import suppress
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import chess
import chess.engine
import psutil
import pytest

from matebot.assess.engines import processes
from matebot.assess.engines.client import Client, Unusable
from matebot.assess.engines.uci_monitor import UciMonitor
from matebot.assess.plans.plan import make_plan
from matebot.assess.running.limits import allowance
from tests.assess.command import PATIENCE_SECONDS, ROOT, SMALL, Assess, small
from tests.counting import counts
from tests.warm_processes import STARTERS, warm_python

linux = pytest.mark.skipif(sys.platform != "linux", reason="finds processes by the system's own list")


def marked(folder: Path) -> str:
    """Return a word no process of another run has in its command line."""
    return f"mark-{os.getpid()}-{folder.name}"


#: Between two looks at all processes of the machine, which cost it some milliseconds each.
LOOK_SECONDS = 0.1


def alive(mark: str) -> list[str]:
    """Return the processes with a word in their command line."""
    found = []
    for words in Path("/proc").glob("[0-9]*/cmdline"):
        with suppress(OSError):
            if mark.encode() in words.read_bytes().split(b"\0"):
                found.append(words.parent.name)
    return found


def gone(mark: str) -> bool:
    end = time.monotonic() + PATIENCE_SECONDS
    while alive(mark) and time.monotonic() < end:
        time.sleep(LOOK_SECONDS)
    return not alive(mark)


def behind_a_shell(fault: str, mark: str) -> str:
    """Return a command whose engine is a child of a shell; the mark stands in the engine's command line only."""
    inner = shlex.join([sys.executable, str(SMALL), fault, mark])
    return shlex.join(["sh", "-c", f"{inner}; true"])


@linux
def test_a_hung_engine_behind_a_shell_is_ended_with_it(assess: Assess, tmp_path: Path) -> None:
    mark = marked(tmp_path)
    arguments = ("--suite", assess.suite(), "--as", "attack", "--patience", "0.5", "--movetime", "50")
    run = assess("--engine", behind_a_shell("silent", mark), *arguments)
    assert run.fault_kinds == {"hang"}
    assert gone(mark)


@linux
@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGINT])
def test_an_interruption_in_the_handshake_ends_the_engine_at_once(tmp_path: Path, sent: signal.Signals) -> None:
    mark = marked(tmp_path)
    engine = behind_a_shell("mute", mark)
    command = [warm_python(), "-m", "matebot", "assess", "--engine", engine, "--ending", "KQK", "--count", "1"]
    process = subprocess.Popen(command, cwd=ROOT, stderr=subprocess.DEVNULL)
    while not alive(mark):
        assert process.poll() is None
        time.sleep(LOOK_SECONDS)
    process.send_signal(sent)
    assert process.wait(PATIENCE_SECONDS) == 130
    assert gone(mark)


def test_of_a_very_long_line_only_the_beginning_is_kept(assess: Assess) -> None:
    run = assess(*assess.engine("rant"), "--suite", assess.suite(), "--as", "attack")
    assert run.fault_kinds == {"rubbish"}
    assert (assess.folder / "run.json").stat().st_size < 100_000
    assert "... (cut)" in run.report["games"][0]["faults"][0]["text"]


@linux
def test_what_an_engine_leaves_behind_when_it_dies_is_ended(assess: Assess, tmp_path: Path) -> None:
    mark = marked(tmp_path)
    engine = shlex.join([sys.executable, str(SMALL), "desert", mark])
    run = assess("--engine", engine, "--suite", assess.suite(), "--as", "attack", "--movetime", "50")
    # It would look like a hang as long as the process left behind held the pipes.
    assert run.fault_kinds == {"crash"}
    assert gone(mark)


@linux
def test_a_process_that_has_left_the_session_keeps_nobody_waiting(assess: Assess, tmp_path: Path) -> None:
    """It holds the pipes of an engine that has died; were it waited for, the handshake would take too long instead."""
    mark, dead = marked(tmp_path), tmp_path / "dead.py"
    dead.write_text(
        "import subprocess, sys\n"
        "sleep = [sys.executable, '-c', 'import time; time.sleep(300)', sys.argv[1]]\n"
        "subprocess.Popen(sleep, start_new_session=True)\nsys.exit(4)\n"
    )
    try:
        assert "ends in the handshake" in assess.error("--engine", shlex.join([sys.executable, str(dead), mark]))
    finally:
        for pid in alive(mark):
            os.kill(int(pid), signal.SIGKILL)


@pytest.mark.skipif(os.name != "posix", reason="pipes are closed differently here")
def test_whoever_closes_the_output_is_told_the_right_status_all_the_same(assess: Assess, tmp_path: Path) -> None:
    words = ["--engine", behind_a_shell("illegal", "x"), "--suite", assess.suite(), "--as", "attack"]
    reading, writing = os.pipe()
    os.close(reading)
    process = subprocess.run(
        [warm_python(), "-m", "matebot", "assess", *words, "--require", "wins==1", "--pgn", str(tmp_path / "run.pgn")],
        cwd=ROOT,
        stdout=writing,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(writing)
    assert process.returncode == 1
    assert "Traceback" not in process.stderr
    assert "Broken" not in process.stderr
    assert (tmp_path / "run.pgn").stat().st_size


@linux
def test_an_interruption_while_an_engine_is_started_again_ends_it_at_once(assess: Assess, tmp_path: Path) -> None:
    mark, used = marked(tmp_path), tmp_path / "used"
    once = tmp_path / "once.py"
    once.write_text(
        f"import pathlib, runpy, sys\nused = pathlib.Path({str(used)!r})\n"
        f"fault = 'mute' if used.exists() else 'desert'\nused.touch()\n"
        f"sys.argv = ['small.py', fault]\nrunpy.run_path({str(SMALL)!r}, run_name='__main__')\n"
    )
    engine = shlex.join([sys.executable, str(once), mark])
    report = tmp_path / "run.json"
    arguments = ["--engine", engine, "--suite", assess.suite(), "--as", "attack", "--report", str(report)]
    process = subprocess.Popen(
        [warm_python(), "-m", "matebot", "assess", *arguments],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    # The first game has crashed, and the second waits for an engine that says nothing of use.
    while not (report.exists() and alive(mark)):
        assert process.poll() is None
        time.sleep(LOOK_SECONDS)
    process.send_signal(signal.SIGINT)
    assert process.wait(PATIENCE_SECONDS) == 130
    assert gone(mark)


def test_rubbish_without_end_is_counted_and_not_kept(assess: Assess) -> None:
    run = assess(*assess.engine("chatter"), "--suite", assess.suite(), "--as", "attack")
    assert run.fault_kinds == {"rubbish"}
    assert "got 5000 broken ones, first 'info nodes why'" in run.report["games"][0]["faults"][0]["text"]


@counts(400, 2000)
def test_an_engine_cannot_fill_the_memory_with_its_lines(count: int) -> None:
    async def grown() -> int:
        monitor = UciMonitor()
        monitor.initialized = True
        tracemalloc.start()
        for number in range(count):
            monitor.pipe_data_received(
                1, f"info depth why {number} {'why ' * 500}\nbestmove {number} {'why ' * 500}\n".encode()
            )
            monitor.pipe_data_received(2, b"no end of this " * 1000)
        size, _ = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert f"got {count} broken ones, first 'info depth why 0 why" in monitor.talk()[1][1]
        return size

    assert asyncio.run(grown()) < 300_000


def test_a_question_handed_over_in_the_last_moment_of_an_engine_is_told_as_its_end_and_not_waited_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What the loop of a process is handed before it closes, and has not begun, would never be answered."""
    hand_over = asyncio.run_coroutine_threadsafe

    def last_moment(work: Any, loop: asyncio.AbstractEventLoop) -> Any:
        handed = hand_over(work, loop)
        loop.close()
        return handed

    monkeypatch.setattr(asyncio, "run_coroutine_threadsafe", last_moment)
    client = Client("engine", small("none"), {}, PATIENCE_SECONDS)
    client._engine = SimpleNamespace(protocol=SimpleNamespace(loop=asyncio.new_event_loop()))  # type: ignore[assignment]
    with pytest.raises(chess.engine.EngineTerminatedError):
        client._run(asyncio.sleep(0), PATIENCE_SECONDS)


def test_an_engine_that_dies_when_all_are_ended_is_not_started_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """The thread that plays with it would start it while the program leaves, and nobody would end it."""
    monkeypatch.setattr(processes, "_closed", False)
    children = psutil.Process.children

    def engines(process: psutil.Process) -> list[psutil.Process]:
        """Without what starts processes for the tests that come after, slower and otherwise without it."""
        return [child for child in children(process) if child.pid not in STARTERS]

    monkeypatch.setattr(psutil.Process, "children", engines)
    client = Client("engine", small("none"), {}, PATIENCE_SECONDS)
    client.start()
    processes.end_every_engine()
    reply = client.ask(chess.Board(), allowance(make_plan({"engine": "x"})), "game")
    assert [kind for kind, _ in reply.faults] == ["crash"]
    with pytest.raises(Unusable, match="an engine still wanted"):
        client.start()
