"""A process of the warm interpreter does, says and ends as one that is started anew."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.warm_processes import ROOT, warm_python

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="processes are started anew here")

SESSION = """uci
setoption name Explanations value full
position fen 8/8/8/4k3/8/8/8/KQ6 w - - 0 1 moves a1b2 e5d5
go
position fen 7k/8/6K1/8/8/8/8/R7 w - - 0 1 moves a1a2 h8g8
go
quit
"""
#: What a process can tell of itself, but for its number.
TELL = """
import gc, os, random, signal, sys, threading
print(sys.argv, sys.path[0], os.getcwd(), os.environ["WORD"], __name__, sys.modules["__main__"].__dict__ is globals())
for name in ("stdin", "stdout", "stderr"):
    one = getattr(sys, name)
    print(one.name, one.encoding, one.errors, one.mode, one.line_buffering, one.write_through, one.isatty(),
          one.newlines, one.fileno(), one is getattr(sys, "__" + name + "__"), type(one.buffer).__name__)
print([signal.getsignal(getattr(signal, name)) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGCHLD", "SIGPIPE")])
print(signal.set_wakeup_fd(-1), threading.active_count(), gc.get_threshold(), gc.isenabled())
print(sorted(int(name) for name in os.listdir("/proc/self/fd"))[:3], len(os.listdir("/proc/self/fd")))
print(sys.stdin.read().encode())
"""


def ran(python: str, *words: str, text: str = "", **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [python, *words], input=text, capture_output=True, text=True, timeout=60, env={**os.environ, **more}
    )


def both(*words: str, text: str = "", **more: str) -> list[tuple[int, str, str]]:
    done = [ran(python, *words, text=text, **more) for python in (warm_python(), sys.executable)]
    return [(each.returncode, each.stdout, each.stderr) for each in done]


def parent(python: str, *words: str, **more: str) -> bool:
    """Whether a process is forked by the starter, and not a child of ours."""
    return int(ran(python, *words, "-c", "import os; print(os.getppid())", **more).stdout) != os.getpid()


def test_a_session_says_the_same_word_for_word_warm_and_fresh() -> None:
    warm, fresh = both("-m", "matebot", text=SESSION)
    assert [line for line in warm[1].splitlines() if " time " not in line] == [
        line for line in fresh[1].splitlines() if " time " not in line
    ]
    assert warm[1].count("bestmove") == 2
    assert (warm[0], warm[2]) == (fresh[0], fresh[2]) == (0, "")


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_process_finds_the_same_about_it_warm_and_fresh(unbuffered: str) -> None:
    warm, fresh = both("-c", TELL, "one", "zwei und ä", text="a\r\nb", WORD="ö", PYTHONUNBUFFERED=unbuffered)
    assert fresh[0] == 0
    assert warm[1].splitlines() == fresh[1].splitlines()
    assert warm == fresh


@pytest.mark.parametrize(
    ("code", "status"),
    [
        ("pass", 0),
        ("raise SystemExit(7)", 7),
        ("raise SystemExit('said at the end')", 1),
        ("1 / 0", 1),
        ("import os, signal; os.kill(os.getpid(), signal.SIGKILL)", -signal.SIGKILL),
        ("import os, signal; os.kill(os.getpid(), signal.SIGTERM)", -signal.SIGTERM),
        ("import atexit; atexit.register(print, 'left'); print('kept', end='')", 0),
    ],
)
def test_a_process_ends_the_same_way_warm_and_fresh(code: str, status: int) -> None:
    warm, fresh = both("-c", code)
    assert warm[:2] == fresh[:2]
    assert warm[2].splitlines()[-1:] == fresh[2].splitlines()[-1:]
    assert warm[0] == status


def test_what_sessions_and_commands_import_is_there_and_what_five_men_alone_need_is_not() -> None:
    wanted = ("matebot.partner", "matebot.commentary", "matebot.commands.assess", "numpy", "chess.engine", "numba")
    code = f"import sys, threading; print([name in sys.modules for name in {wanted}], threading.active_count())"
    assert ran(warm_python(), "-c", code).stdout == "[True, True, True, True, True, False] 1\n"


def test_nothing_is_remembered_from_one_process_to_the_next() -> None:
    code = "import random, chess; print(hasattr(chess, 'mark'), random.random()); chess.mark = 1"
    first, second = (ran(warm_python(), "-c", code).stdout.split() for _ in range(2))
    assert first[0] == second[0] == "False"
    assert first[1] != second[1]


def test_only_what_is_asked_as_the_starter_was_is_forked(tmp_path: Path) -> None:
    assert parent(warm_python())
    assert not parent(warm_python(), "-B")
    assert not parent(warm_python(), PYTHONWARNINGS="error")
    assert not parent(warm_python(), PYTHONPATH=str(tmp_path))
    assert parent(warm_python(), PYTHONPATH=f"{ROOT}{os.pathsep}{ROOT}")
    script = tmp_path / "script.py"
    script.write_text("import os, sys; print(os.getppid(), sys.argv[1:], __name__, sys.path[0])")
    warm, fresh = (ran(python, str(script), "x").stdout.split(maxsplit=1) for python in (warm_python(), sys.executable))
    assert warm[1] == fresh[1]
    assert int(fresh[0]) == os.getpid() != int(warm[0])


@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_reaches_the_process(sent: signal.Signals) -> None:
    code = (  # held back and waited for: one that comes just before a read would not end it
        "import signal, sys\n"
        f"signal.pthread_sigmask(signal.SIG_BLOCK, [{int(sent)}])\n"
        f"print('ready', flush=True)\nsys.exit(signal.sigwait([{int(sent)}]) + 50)"
    )
    with subprocess.Popen([warm_python(), "-c", code], stdout=-1) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        process.send_signal(sent)
        assert process.wait(60) == sent + 50


def test_what_is_killed_goes_with_its_process() -> None:
    code = "import time; print('ready', flush=True); time.sleep(300)"
    with subprocess.Popen([warm_python(), "-c", code], stdout=-1) as process:
        assert process.stdout is not None
        process.stdout.readline()
        process.kill()
        assert process.wait(60) == -signal.SIGKILL
        assert process.stdout.read() == b""  # which is only when nobody has the pipe any more
