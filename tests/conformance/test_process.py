"""The process and its surroundings: start, end, signals, streams that are full, missing or a terminal, and faults."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import chess
import pytest

from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.conformance.process import ENDLESS, GRAMMAR, PATIENCE, PATIENT, Engine
from tests.counting import every_day
from tests.warm_processes import warm_python

ROOKS = "7k/8/6K1/8/8/8/8/R7 w - - 0 1"
#: The ending that takes longest to solve, some seconds: there is time to interrupt.
PAWNS = "8/8/8/4p3/8/8/4P3/K6k w - - 0 1"
#: Wins in endings of which none leads to a later one.
WINS = (
    "8/8/8/4k3/8/8/8/KQ6 w - - 0 1",
    "8/8/8/4k3/8/8/8/KR6 w - - 0 1",
    "k7/8/8/8/2K5/8/2P5/8 w - - 0 1",
    "8/8/8/4k3/8/8/8/KBB5 w - - 0 1",
    "8/8/8/4k3/8/8/8/KBN5 w - - 0 1",
)
LIMITS = ("", "movetime 1", "nodes 1", "wtime 1 btime 1", "depth 1")
#: A queen that many moves would hang, and a pawn about to become one.
HANGING = "8/6k1/8/3Q4/8/5K2/1p6/8 w - - 0 1"
#: After quit an answer is soon wanted at once; that is waited for, and no solution.
OUT_OF_REACH = f"""
from matebot.uci import pace, stdio
pace._TIMED_PATIENCE_SECONDS = stdio._KEEPING_SECONDS = stdio._LEAVING_SECONDS = 0.1
stdio._HURRY_SECONDS = {PATIENCE}
{ENDLESS}
"""
SCRIPT = f"position fen {ROOKS}\ngo\nisready\ngo\n"
SPEAK = "from matebot.uci.stdio import run\nrun()"
posix = pytest.mark.skipif(sys.platform == "win32", reason="signals, terminals and descriptors of POSIX")


def talk(code: str, text: str, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Speak UCI with a process that runs some code first; without a folder it is the one that all tests share."""
    environment = os.environ if folder is None else {**os.environ, "MATEBOT_TABLES": str(folder)}
    command = [warm_python(), "-c", f"{code}\n{SPEAK}"]
    return subprocess.run(command, input=text, capture_output=True, text=True, timeout=PATIENCE, env=environment)


def test_the_real_start_loads_the_standard_library_alone() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "matebot"],
        input="uci\n",
        capture_output=True,
        text=True,
        timeout=PATIENCE,
    )
    loaded = {line.rsplit("|", 1)[1].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}
    assert done.stdout.endswith("uciok\n")
    assert "matebot" in loaded
    assert not loaded & {"numpy", "chess", "argparse", "asyncio", "logging"}


@pytest.mark.parametrize("number", [pytest.param(signal.SIGTERM, marks=posix), None], ids=["SIGTERM", "quit"])
def test_what_an_end_while_solving_leaves_in_the_place_of_an_ending_is_whole(
    tmp_path: Path, number: signal.Signals | None
) -> None:
    with Engine(tmp_path) as engine:
        engine.send(f"position fen {PAWNS}", "go ponder")
        engine.until("info string solving KPKP")
        if number is None:
            engine.send("quit")
        else:
            engine.process.send_signal(number)
        assert engine.leaves() == 0
    told: list[str] = []
    tables = Tables(tmp_path, notice=told.append)
    for path in tmp_path.glob("*.ending"):
        tables.prepare(Material.parse(path.stem))
        assert tables.bytes_on_disk(Material.parse(path.stem)) == path.stat().st_size
    assert told == []


@pytest.mark.parametrize("end", ["quit", "end of input", pytest.param("SIGTERM", marks=posix)])
def test_nobody_waits_for_a_solution_that_never_comes(tmp_path: Path, end: str) -> None:
    with Engine(tmp_path, code=ENDLESS) as engine:
        assert engine.process.stderr is not None
        engine.send(f"position fen {HANGING}", "go infinite")
        assert engine.process.stderr.readline() == b"solving\n"
        for release in ("go infinite", "stop"):
            assert engine.ready() == ["readyok"]
            engine.send(release)
            assert engine.until("bestmove")[-2].startswith("info depth")
        engine.send("go ponder")
        engine.ready()
        if end == "quit":
            engine.send("quit")
        elif end == "SIGTERM":
            engine.process.terminate()
        else:
            engine.close_input()
        assert engine.leaves() == 0


def test_what_is_asked_before_the_end_of_input_is_answered_exactly(tmp_path: Path) -> None:
    """However little time it leaves: nobody's clock runs any more."""
    questions = [f"position fen {fen}\ngo {limit}\n" for fen, limit in zip(WINS, LIMITS, strict=True)]
    done = talk("", "".join(questions), tmp_path)
    assert done.stdout.count(" score mate ") == done.stdout.count("bestmove ") == len(LIMITS)
    assert "not solved" not in done.stdout


def test_quit_waits_for_an_answer_within_reach_and_else_gives_a_sensible_move(tmp_path: Path) -> None:
    said = talk(PATIENT, f"position fen {ROOKS}\ngo movetime 1\nquit\n", tmp_path).stdout
    assert " score mate 1 " in said.splitlines()[-2]
    assert "not solved" not in said
    hasty = talk(
        OUT_OF_REACH,
        f"position fen {HANGING}\ngo movetime 1\nquit\n",
        tmp_path,
    )
    assert hasty.returncode == 0
    assert "the ending is not solved yet" in hasty.stdout
    board = chess.Board(HANGING)
    board.push_uci(hasty.stdout.splitlines()[-1].split()[1])
    assert not any(board.is_capture(reply) for reply in board.legal_moves)


def test_a_question_that_would_be_answered_in_time_never_waits_for_a_solution_beyond_it(tmp_path: Path) -> None:
    limits = ("movetime 100", "wtime 900 btime 900", "nodes 500", "infinite\nstop", "ponder movetime 5\nponderhit")
    with Engine(tmp_path, code=ENDLESS) as engine:
        for limit in limits:
            said = engine.ask(f"position fen {HANGING}", f"go {limit}")
            assert "the ending is not solved yet" in " ".join(said)
            assert said[-1] != "bestmove 0000"


def test_an_end_right_after_an_answer_leaves_nothing_that_has_to_be_repaired(tmp_path: Path) -> None:
    """The solved ending is being kept at that time."""
    question = (f"position fen {ROOKS}", "go")
    for _ in range(2):
        with Engine(tmp_path, code=PATIENT) as engine:
            assert not [line for line in engine.ask(*question) if line.startswith("info string")]
            engine.send("quit")
            assert engine.leaves() == 0
    assert not list(tmp_path.rglob("*.part"))


def test_an_interface_that_does_not_read_can_still_end_it() -> None:
    """The pipe is full long before all is said."""
    with subprocess.Popen([warm_python(), "-m", "matebot"], stdin=-1, stdout=-1) as process:
        assert process.stdin is not None
        process.stdin.write(b"uci\n" * 500 + b"isready\nquit\n")
        process.stdin.close()
        assert process.wait(PATIENCE) == 0


def test_the_answers_to_piped_input_come_before_the_end() -> None:
    done = talk("", f"position fen {ROOKS}\ngo\n")
    assert done.stdout.endswith("bestmove a1a8\n")
    assert done.returncode == 0


@posix
def test_sigterm_ends_it_with_status_0_and_sigint_does_not_end_it() -> None:
    with Engine(None) as engine:
        engine.ready()
        engine.process.send_signal(signal.SIGINT)
        assert engine.ready()[-1] == "readyok"
        engine.process.send_signal(signal.SIGTERM)
        assert engine.leaves() == 0


def test_a_closed_pipe_ends_it_quietly() -> None:
    command = [warm_python(), "-m", "matebot"]
    with subprocess.Popen(command, stdin=-1, stdout=-1, stderr=-1, bufsize=0) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdin.write(b"isready\n")
        assert process.stdout.readline() == b"readyok\n"
        process.stdout.close()
        with suppress(BrokenPipeError):
            while process.poll() is None:
                process.stdin.write(b"isready\n")
        assert process.wait(PATIENCE) == 0
        assert b"Traceback" not in process.stderr.read()


@posix
@every_day(("2>&-", "0<&- 1>&- 2>&-"), ("0<&-", "1>&-"), "closed")
def test_a_missing_stream_is_no_fault(closed: str) -> None:
    done = subprocess.run(
        ["/bin/sh", "-c", f'"{sys.executable}" -m matebot {closed}'],
        input=f"uci\n{SCRIPT}",
        capture_output=True,
        text=True,
        timeout=PATIENCE,
    )
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
    if closed == "2>&-":
        assert done.stdout.endswith("bestmove a1a8\n")
    for line in done.stdout.splitlines():
        assert GRAMMAR.fullmatch(line), line


@posix
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
    assert process.wait(PATIENCE) == 130
    assert process.stdout.read() == b""
    assert process.stderr.read() == b""
    process.stdout.close()
    process.stderr.close()
    os.close(leader)


@posix
def test_a_terminal_that_is_lost_is_the_end_of_input() -> None:
    import pty

    leader, follower = pty.openpty()
    process = subprocess.Popen([warm_python(), "-m", "matebot"], stdin=follower, stdout=-1, stderr=-1)
    os.close(follower)
    assert process.stderr is not None
    assert process.stdout is not None
    process.stderr.readline()
    os.close(leader)
    assert process.wait(PATIENCE) == 0
    process.stdout.close()
    process.stderr.close()


def test_a_fault_in_a_pause_does_not_end_the_session() -> None:
    code = "import matebot.partner as p\np.MatePartner.rest = lambda *a: 1 // 0\n" + SPEAK
    process = subprocess.Popen([warm_python(), "-c", code], stdin=-1, stdout=-1, stderr=-1)
    assert process.stdin is not None
    assert process.stderr is not None
    process.stdin.write(b"isready\n")
    process.stdin.flush()
    assert process.stderr.readline().startswith(b"Traceback")
    said, _ = process.communicate(SCRIPT.encode(), timeout=PATIENCE)
    assert process.returncode == 0
    assert said.endswith(b"bestmove a1a8\n")


#: A partner that would rest for ever if it were not told, and says that it rests.
RESTING = """
import sys, time
import matebot.partner as p
def rest(self, wanted):
    print("resting", file=sys.stderr, flush=True)
    while not wanted():
        time.sleep(0.001)
p.MatePartner.rest = rest
"""


def test_a_pause_is_over_when_something_is_asked() -> None:
    with Engine(None, code=RESTING) as engine:
        assert engine.process.stderr is not None
        for _ in range(2):
            assert engine.ask(f"position fen {ROOKS}", "go")[-1] == "bestmove a1a8"
            assert engine.process.stderr.readline() == b"resting\n"
        engine.send("quit")
        assert engine.leaves() == 0


def test_what_others_print_does_not_reach_the_interface() -> None:
    code = "import matebot.partner as p\ninner = p.MatePartner.go\n"
    code += "def noisy(*a):\n    print('noise')\n    return inner(*a)\np.MatePartner.go = noisy"
    done = talk(code, SCRIPT)
    assert "noise" not in done.stdout
    assert "noise" in done.stderr
    assert done.stdout.endswith("bestmove a1a8\n")
