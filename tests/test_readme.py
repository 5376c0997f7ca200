"""Every command of the README does what it is there for."""

from __future__ import annotations

import re
import shlex
from io import StringIO
from itertools import pairwise
from pathlib import Path

import pytest

from matebot.cli import main
from matebot.practice.record import Record
from tests.practice.games import game, save

pytestmark = pytest.mark.usefixtures("lessons_taught_once")

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^    (\S.*)$", README, re.MULTILINE)
SET_UP = [line for line in COMMANDS if line.startswith("python3 -m venv")]
OURS = [line.removeprefix(".venv/bin/matebot ") for line in COMMANDS if line.startswith(".venv/bin/matebot ")]
#: What is added to a command every day, since it takes long as it stands.
FEWER = {"solve": ["KRK", "KQK"], "assess": ["--count", "2"], "verify": ["--count", "50"]}
#: What names a file to be written.
MAKING = ("--out", "--html", "--report", "--export", "--pgn")
PRACTICE = '[SetUp "1"]\n[FEN "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"]\n\n1. Ka2 Kd3 2. Bf4 *\n'


def test_the_readme_opens_with_one_paragraph_that_states_the_job() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# matebot"
    assert "\n" not in job
    assert "UCI" in job


def test_two_commands_set_up_one_to_show_and_one_to_test() -> None:
    assert len(SET_UP) == 2
    assert SET_UP[0].endswith(".venv/bin/matebot demonstrate")
    assert SET_UP[1].endswith(".venv/bin/pytest")


def test_the_check_of_a_change_runs_the_readmes_test_command() -> None:
    words = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    for part in SET_UP[1].split(" && "):
        assert part in words


def test_every_line_of_commands_is_known_to_these_tests() -> None:
    assert len(OURS) + len(SET_UP) == len(COMMANDS)


@pytest.mark.parametrize(
    ("line", "fewer"),
    [
        *((line, FEWER.get(line.split()[0], [])) for line in OURS if not line.startswith("--profile")),
        *(pytest.param(line, [], marks=pytest.mark.exhaustive) for line in OURS if line.split()[0] in FEWER),
    ],
)
def test_a_command_of_the_readme_runs(
    line: str, fewer: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MATEBOT_RECORD", str(tmp_path / "record.sqlite"))
    monkeypatch.setattr("sys.stdin", StringIO("hint\nquit\n"))
    record = Record(tmp_path / "record.sqlite", print)
    save(record, game("one", "Mia"))
    record.close()
    (tmp_path / "practice.pgn").write_text(PRACTICE)
    arguments = shlex.split(line) + fewer
    if arguments[0] == "assess":
        # The machine may be busy, and what is not solved in time is answered by an estimate.
        arguments += ["--movetime", "60000", "--lateness", "60000", "--patience", "60"]
    assert main(arguments) == 0
    captured = capsys.readouterr()
    made_files = [made for option, made in pairwise(arguments) if option in MAKING]
    assert captured.out or captured.err or made_files
    for made in made_files:
        assert (tmp_path / made).stat().st_size


def test_a_file_that_a_command_of_the_readme_reads_was_written_by_one_before_it() -> None:
    written: set[str] = set()
    for line in OURS:
        words = shlex.split(line)
        made = {word for option, word in pairwise(words) if option in MAKING}
        named = {word for word in words if re.search(r"\.(pgn|html|json|xml|csv)$", word)}
        assert named - made <= written, line
        written |= made


@pytest.mark.parametrize(
    ("line", "words"), re.findall(r"^    \S+matebot (explain .*)\n\n> (.*)$", README, re.MULTILINE)
)
def test_what_the_readme_quotes_is_said(line: str, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(shlex.split(line)) == 0
    assert words in capsys.readouterr().out


def test_every_command_of_the_program_stands_in_the_readme() -> None:
    from matebot.cli import COMMANDS as KNOWN

    told = {line.split()[0] for line in OURS} | {"demonstrate", "uci"}
    assert set(KNOWN) <= told
