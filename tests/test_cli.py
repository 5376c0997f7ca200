"""The way in: which words lead where, what every ending prints, and its exit status."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

from matebot import __version__
from matebot.cli import COMMANDS, main
from matebot.errors import UserError
from matebot.profiles import read_profile

Run = Callable[[Namespace], int]


def add_moves(parser: ArgumentParser) -> None:
    parser.add_argument("--moves", type=int, default=0)


@pytest.fixture
def command(monkeypatch: pytest.MonkeyPatch) -> Callable[[Run], None]:
    """Return a way to put a command named ``probe`` in the table, which does what it is given to do."""

    def put(run: Run) -> None:
        module = ModuleType("matebot.commands.probe")
        vars(module).update(add_arguments=add_moves, run=run)
        monkeypatch.setitem(sys.modules, module.__name__, module)
        monkeypatch.setitem(COMMANDS, "probe", ("probe", "look at moves"))

    return put


def test_no_arguments_speak_uci(monkeypatch: pytest.MonkeyPatch) -> None:
    stdio = ModuleType("matebot.uci.stdio")
    vars(stdio)["run"] = lambda: 7
    monkeypatch.setitem(sys.modules, stdio.__name__, stdio)
    assert main([]) == 7


@pytest.mark.parametrize("arguments", [["--profile", "club-evening"], ["--profile=club-evening"]])
def test_a_profile_alone_speaks_uci_with_its_options(arguments: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[object] = []

    def speak(values: object) -> int:
        begun.append(values)
        return 7

    monkeypatch.setattr("matebot.commands.uci.speak", speak)
    assert main(arguments) == 7
    assert begun == [read_profile("club-evening").values]


def test_the_arguments_of_the_process_are_taken_by_default(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["matebot", "--version"])
    assert main() == 0
    assert capsys.readouterr().out == f"matebot {__version__}\n"


@pytest.mark.parametrize("word", ["-h", "--help"])
def test_help_lists_every_command_with_its_line(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([word]) == 0
    lines = capsys.readouterr().out.splitlines()
    for name, (_, summary) in COMMANDS.items():
        assert any(line.split(maxsplit=1) == [name, summary] for line in lines)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_in_the_table_exists_and_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    module_name, summary = COMMANDS[name]
    module = import_module(f"matebot.commands.{module_name}")
    assert callable(module.add_arguments)
    assert callable(module.run)
    assert main([name, "--help"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert f"usage: matebot {name}" in shown
    assert summary in shown


def test_every_command_module_is_in_the_table() -> None:
    """Modules without `run` are shared by commands."""
    from pkgutil import iter_modules

    import matebot.commands

    names = [found.name for found in iter_modules(matebot.commands.__path__)]
    runnable = {name for name in names if hasattr(import_module(f"matebot.commands.{name}"), "run")}
    assert runnable <= {module for module, _ in COMMANDS.values()}


def test_a_command_gets_its_arguments_and_gives_the_status(command: Callable[[Run], None]) -> None:
    command(lambda namespace: int(namespace.moves))
    assert main(["probe", "--moves", "5"]) == 5
    assert main(["probe"]) == 0


@pytest.mark.parametrize(
    ("arguments", "parts"),
    [
        (["slove"], ("expected one of the commands", "solve", "'slove'")),
        (["--verison"], ("expected one of the commands", "'--verison'")),
        ([""], ("expected one of the commands", "''")),
        (["probe", "--moves", "x"], ("--moves", "'x'", "matebot probe --help")),
        (["probe", "--mov", "1"], ("--mov", "matebot probe --help")),
        (["probe", "e2e4"], ("e2e4", "matebot probe --help")),
    ],
)
def test_wrong_usage_is_told_in_one_line_with_status_2(
    arguments: list[str], parts: tuple[str, ...], command: Callable[[Run], None], capsys: pytest.CaptureFixture[str]
) -> None:
    command(lambda _: 0)
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert told.err.startswith("matebot: ")
    for part in parts:
        assert part in told.err


def test_a_user_error_is_one_line_and_status_2(
    command: Callable[[Run], None], capsys: pytest.CaptureFixture[str]
) -> None:
    def run(_: Namespace) -> int:
        raise UserError("expected a position, got 'e9'")

    command(run)
    assert main(["probe"]) == 2
    assert capsys.readouterr() == ("", "matebot: expected a position, got 'e9'\n")


def test_a_fault_of_the_program_is_not_hidden(command: Callable[[Run], None]) -> None:
    command(lambda _: 1 // 0)
    with pytest.raises(ZeroDivisionError):
        main(["probe"])


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_told_in_one_line_with_status_2() -> None:
    with Path("/dev/full").open("wb") as full:
        run = subprocess.run(
            [sys.executable, "-m", "matebot", "--help"], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert run.returncode == 2
    assert run.stderr.count("\n") == 1
    assert run.stderr.startswith("matebot: expected to read or write the output, got ")


def test_a_full_disk_leaves_a_stream_alone_that_is_not_the_output_of_the_process(
    command: Callable[[Run], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fill(namespace: Namespace) -> int:
        raise OSError(28, "No space left on device")

    command(fill)
    with (tmp_path / "other").open("w+") as other:
        monkeypatch.setattr(sys, "stdout", other)
        assert main(["probe"]) == 2
        other.write("still here")
        other.seek(0)
        assert other.read() == "still here"


def test_without_an_output_a_command_does_its_work(
    command: Callable[[Run], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    command(lambda namespace: 7)
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["probe"]) == 7


def test_an_interrupt_gives_130_and_no_traceback(
    command: Callable[[Run], None], capsys: pytest.CaptureFixture[str]
) -> None:
    def run(_: Namespace) -> int:
        raise KeyboardInterrupt

    command(run)
    assert main(["probe"]) == 130
    assert capsys.readouterr() == ("", "")


#: A process whose only command writes lines without end, or waits to be interrupted.
PROCESS = """
import sys, time
from pathlib import Path
from types import ModuleType
from matebot.cli import COMMANDS, main

def write(namespace):
    while True:
        print("a line that fills the pipe")

def wait(namespace):
    print("ready", flush=True)
    while True:  # in short naps, since one just before a long one would be heard at its end
        time.sleep(0.01)

module = ModuleType("matebot.commands.probe")
module.add_arguments = lambda parser: None
module.run = {"write": write, "wait": wait}[sys.argv[1]]
sys.modules[module.__name__] = module
COMMANDS["probe"] = ("probe", "for this test")
sys.exit(main(["probe"]))
"""


def started(task: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen([sys.executable, "-c", PROCESS, task], stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def test_a_pipe_closed_at_the_other_end_ends_the_process_quietly() -> None:
    with started("write") as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline() == b"a line that fills the pipe\n"
        process.stdout.close()
        assert process.wait(timeout=60) == 0
        assert process.stderr.read() == b""


@pytest.mark.parametrize("words", [["--profile="], ["--profile", ""], ["uci", "--profile", ""]])
def test_a_profile_from_a_variable_that_is_not_set_is_refused(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert re.fullmatch(r"matebot: expected a profile \(.+\) or a file, got ''\n", err)


@pytest.mark.parametrize(
    "words", [["explain", "--fen", "8/" * 200_000], ["explain", "\x1b[31mred\r\n"], ["\u202eback" * 1000]]
)
def test_a_fault_is_one_harmless_line_of_bearable_length_whatever_is_quoted(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("matebot: ")
    assert err.removesuffix("\n").isprintable()
    assert len(err) < 2000


def test_an_interrupted_process_ends_with_130_and_prints_no_traceback() -> None:
    with started("wait") as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline() == b"ready\n"
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=60) == 130
        assert process.stderr.read() == b""


def test_the_module_can_be_run_and_passes_the_status_on() -> None:
    ran = subprocess.run([sys.executable, "-m", "matebot", "--version"], capture_output=True, text=True, check=True)
    assert ran.stdout == f"matebot {__version__}\n"
    wrong = subprocess.run([sys.executable, "-m", "matebot", "slove"], capture_output=True, text=True, check=False)
    assert wrong.returncode == 2


def test_the_way_to_uci_loads_nothing_an_interface_would_wait_for() -> None:
    """The cost of start-up: neither the command line's parser nor the libraries of the solver."""
    slow = {"argparse", "chess", "dataclasses", "importlib.metadata", "logging", "numpy", "typing"}
    source = "import sys; old = set(sys.modules); import matebot.cli; print(*set(sys.modules) - old)"
    ran = subprocess.run([sys.executable, "-c", source], capture_output=True, text=True, check=True)
    loaded = set(ran.stdout.split())
    assert {name for name in loaded if name.startswith("matebot")} == {"matebot", "matebot.cli"}
    assert not slow & loaded
