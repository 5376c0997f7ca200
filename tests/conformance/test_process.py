"""The process and its surroundings: start, end, signals, streams that are full, missing or a terminal, and faults."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import chess
import pytest

from tests.conformance.process import GRAMMAR, Engine

ROOKS = "7k/8/6K1/8/8/8/8/R7 w - - 0 1"
#: The ending that takes longest to solve, some seconds: there is time to interrupt.
PAWNS = "8/8/8/4p3/8/8/4P3/K6k w - - 0 1"
PAWN = "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1"
#: A queen that many moves would hang, and a pawn about to become one.
HANGING = "8/6k1/8/3Q4/8/5K2/1p6/8 w - - 0 1"
SCRIPT = f"position fen {ROOKS}\ngo\nisready\ngo\n"
SPEAK = "from matebot.uci.stdio import run\nrun()"
#: Ends of the session are due within a second; the rest is for a busy machine.
SOON = 1.5


def talk(code: str, text: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Speak UCI with a process that runs some code first."""
    program = f"{code}\n{SPEAK}"
    environment = {**os.environ, "MATEBOT_TABLES": str(folder)}
    return subprocess.run(
        [sys.executable, "-c", program], input=text, capture_output=True, text=True, timeout=30, env=environment
    )


def start(*arguments: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, *arguments], stdin=subprocess.PIPE, stdout=subprocess.PIPE)


def test_the_real_start_loads_the_standard_library_alone() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "matebot"], input="uci\n", capture_output=True, text=True, timeout=30
    )
    loaded = {line.rsplit("|", 1)[1].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}
    assert done.stdout.endswith("uciok\n")
    assert "matebot" in loaded
    assert not loaded & {"numpy", "chess", "argparse", "asyncio", "logging"}


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
@pytest.mark.parametrize("number", [signal.SIGTERM, None], ids=["SIGTERM", "quit"])
def test_an_end_while_pondering_unsolved_comes_soon_and_leaves_no_file_half_written(
    tmp_path: Path, number: signal.Signals | None
) -> None:
    with Engine(tmp_path) as engine:
        engine.ready()
        engine.send(f"position fen {PAWNS}", "go ponder")
        engine.until("info string solving KPKP")
        begun = time.monotonic()
        if number is None:
            engine.send("quit")
        else:
            engine.process.send_signal(number)
        assert engine.leaves() == 0
        assert time.monotonic() - begun < SOON
    assert not list(tmp_path.rglob("*.part"))


@pytest.mark.parametrize("last", ["go", "go movetime 1", "go nodes 1", "go wtime 1 btime 1", "go depth 1"])
def test_what_is_asked_before_the_end_of_input_is_answered_exactly(tmp_path: Path, last: str) -> None:
    """However little time it leaves: nobody's clock runs any more."""
    done = talk("", f"position fen {PAWN}\n{last}\n", tmp_path)
    assert " score mate " in done.stdout.splitlines()[-2]
    assert "not solved" not in done.stdout


def test_quit_waits_for_an_answer_within_reach_and_else_gives_a_sensible_move(tmp_path: Path) -> None:
    """Solving that never comes to its end stands for a machine that is far too slow."""
    code = "import matebot.solver.retrograde as r\nimport threading\n"
    endless = code + "r.Solver.solve = lambda self: threading.Event().wait()"
    with Engine(tmp_path) as engine:
        engine.ready()
        engine.send(f"position fen {ROOKS}", "go movetime 1", "quit")
        said = engine.until("bestmove")
        assert " score mate 1 " in said[-2]
        assert "not solved" not in " ".join(said)
    hasty = talk(endless, f"position fen {HANGING}\ngo movetime 1\nquit\n", tmp_path)
    assert hasty.returncode == 0
    assert "the ending is not solved yet" in hasty.stdout
    board = chess.Board(HANGING)
    board.push_uci(hasty.stdout.splitlines()[-1].split()[1])
    assert not any(board.is_capture(reply) for reply in board.legal_moves)


def test_a_question_that_would_be_answered_in_time_never_waits_for_a_solution_beyond_it(tmp_path: Path) -> None:
    code = "import matebot.solver.retrograde as r\nimport threading\n"
    code += "r.Solver.solve = lambda self: threading.Event().wait()"
    with subprocess.Popen(
        [sys.executable, "-c", f"{code}\n{SPEAK}"],
        stdin=-1,
        stdout=-1,
        text=True,
        env={**os.environ, "MATEBOT_TABLES": str(tmp_path)},
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        for limit in (
            "movetime 100",
            "wtime 900 btime 900",
            "nodes 500",
            "infinite\nstop",
            "ponder movetime 5\nponderhit",
        ):
            process.stdin.write(f"position fen {HANGING}\ngo {limit}\n")
            process.stdin.flush()
            said: list[str] = []
            while not said or not said[-1].startswith("bestmove"):
                said.append(process.stdout.readline())
            assert "the ending is not solved yet" in "".join(said)
            assert said[-1] != "bestmove 0000\n"
        process.stdin.write("quit\n")
        process.stdin.flush()
        assert process.wait(30) == 0


def test_an_end_right_after_an_answer_leaves_nothing_that_has_to_be_repaired(tmp_path: Path) -> None:
    """The solved ending is being kept at that time."""
    question = ("position fen 8/8/8/8/4k3/8/8/K1BN4 w - - 0 1", "go")
    for _ in range(2):
        with Engine(tmp_path) as engine:
            assert not [line for line in engine.ask(*question) if line.startswith("info string")]
            engine.send("quit")
            assert engine.leaves() == 0
    assert not list(tmp_path.rglob("*.part"))


def test_stop_while_solving_is_answered_soon(tmp_path: Path) -> None:
    with Engine(tmp_path) as engine:
        engine.ready()
        engine.send(f"position fen {PAWNS}", "go infinite")
        time.sleep(0.4)
        begun = time.monotonic()
        engine.send("stop")
        lines = engine.until("bestmove")
        assert time.monotonic() - begun < SOON
        assert lines[-2].startswith("info depth")


def test_an_interface_that_does_not_read_can_still_end_it(tmp_path: Path) -> None:
    """The pipe is full long before all is said."""
    process = start("-m", "matebot")
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write(b"uci\n" * 20_000 + b"isready\nquit\n")
    process.stdin.flush()
    begun = time.monotonic()
    assert process.wait(10) == 0
    assert time.monotonic() - begun < 2 * SOON
    process.stdin.close()
    process.stdout.close()


@pytest.mark.skipif(sys.platform == "win32", reason="descriptors of POSIX")
@pytest.mark.parametrize("closed", ["0<&-", "1>&-", "2>&-", "0<&- 1>&- 2>&-"])
def test_a_missing_stream_is_no_fault(closed: str, tmp_path: Path) -> None:
    done = subprocess.run(
        ["/bin/sh", "-c", f'"{sys.executable}" -m matebot {closed}'],
        input=f"uci\n{SCRIPT}",
        capture_output=True,
        text=True,
        timeout=30,
        env={**os.environ, "MATEBOT_TABLES": str(tmp_path)},
    )
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
    if closed == "2>&-":
        assert done.stdout.endswith("bestmove a1a8\n")
    for line in done.stdout.splitlines():
        assert GRAMMAR.fullmatch(line), line


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")
def test_on_a_terminal_one_line_tells_what_it_is_and_an_interrupt_ends_it() -> None:
    import pty

    leader, follower = pty.openpty()
    process = subprocess.Popen([sys.executable, "-m", "matebot"], stdin=follower, stdout=-1, stderr=-1)
    os.close(follower)
    assert process.stderr is not None
    assert process.stdout is not None
    hint = process.stderr.readline().decode()
    assert "matebot --help" in hint
    process.send_signal(signal.SIGINT)
    assert process.wait(5) == 130
    assert process.stdout.read() == b""
    assert process.stderr.read() == b""
    process.stdout.close()
    process.stderr.close()
    os.close(leader)


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")
def test_a_terminal_that_is_lost_is_the_end_of_input() -> None:
    import pty

    leader, follower = pty.openpty()
    process = subprocess.Popen([sys.executable, "-m", "matebot"], stdin=follower, stdout=-1, stderr=-1)
    os.close(follower)
    assert process.stderr is not None
    assert process.stdout is not None
    process.stderr.readline()
    os.close(leader)
    assert process.wait(5) == 0
    process.stdout.close()
    process.stderr.close()


FAULTS = {
    "every question": "import matebot.partner as p\np.MatePartner.go = lambda *a: 1 // 0",
    "every position": "import matebot.partner as p\np.MatePartner.set_position = lambda *a: 1 // 0",
    "loading": "import sys\nsys.modules['matebot.partner'] = None",
    "an answer that cannot be written": "import matebot.partner as p\np.MatePartner.go = lambda *a: None",
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_of_our_own_is_told_and_every_question_still_answered(name: str, tmp_path: Path) -> None:
    done = talk(FAULTS[name], SCRIPT, tmp_path)
    said = done.stdout.splitlines()
    assert done.returncode == 0
    assert "Traceback" in done.stderr
    assert [line.split()[0] for line in said].count("bestmove") == 2
    assert "readyok" in said
    for line in said:
        assert GRAMMAR.fullmatch(line), line
    assert "bestmove 0000" in said
    assert any(line.startswith("info string ") for line in said)


def test_a_fault_in_a_pause_does_not_end_the_session(tmp_path: Path) -> None:
    code = "import matebot.partner as p\np.MatePartner.rest = lambda *a: 1 // 0\n" + SPEAK
    process = subprocess.Popen([sys.executable, "-c", code], stdin=-1, stdout=-1, stderr=-1)
    assert process.stdin is not None
    assert process.stderr is not None
    process.stdin.write(b"isready\n")
    process.stdin.flush()
    assert process.stderr.readline().startswith(b"Traceback")
    said, _ = process.communicate(SCRIPT.encode(), timeout=30)
    assert process.returncode == 0
    assert said.endswith(b"bestmove a1a8\n")


def test_a_pause_is_over_when_something_is_asked(tmp_path: Path) -> None:
    """The partner would rest for ever if it were not told."""
    code = "import matebot.partner as p\np.MatePartner.rest = lambda self, wanted: [0 for _ in iter(wanted, True)]"
    done = talk(code, SCRIPT, tmp_path)
    assert done.stdout.count("bestmove a1a8\n") == 2
    with subprocess.Popen([sys.executable, "-c", f"{code}\n{SPEAK}"], stdin=-1, stdout=-1) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        for _ in range(2):
            process.stdin.write(f"position fen {ROOKS}\ngo\n".encode())
            process.stdin.flush()
            while not process.stdout.readline().startswith(b"bestmove a1a8"):
                assert process.poll() is None
            time.sleep(0.1)
        process.stdin.write(b"quit\n")
        process.stdin.flush()
        assert process.wait(5) == 0


def test_what_others_print_does_not_reach_the_interface(tmp_path: Path) -> None:
    code = "import matebot.partner as p\ninner = p.MatePartner.go\n"
    code += "def noisy(*a):\n    print('noise')\n    return inner(*a)\np.MatePartner.go = noisy"
    done = talk(code, SCRIPT, tmp_path)
    assert "noise" not in done.stdout
    assert "noise" in done.stderr
    assert done.stdout.endswith("bestmove a1a8\n")
