"""Solving ahead: what is printed, what lies on the disk afterwards, and the exit status."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from matebot.cli import main
from matebot.commands import endings
from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables
from tests.warm_processes import warm_python

#: Moves to mate with best play, the side with the pieces to move: endgame handbooks, from memory.
LONGEST_MOVES = {"KQK": 10, "KRK": 16, "KBNK": 33, "KPK": 28}


def test_the_endings_named_are_kept_with_what_they_lead_to(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", "KPK", "kbnk", "--table-folder", str(tmp_path)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == ["KPK", "KBNK", "2"]
    assert lines[-1].startswith(f"2 of 2 endings kept in {tmp_path}, ")
    kept = {path.name for path in tmp_path.iterdir()}
    assert kept == {f"{name}.ending" for name in ("KQK", "KRK", "KBK", "KNK", "KPK", "KBNK")}


def test_the_longest_mate_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", *LONGEST_MOVES]) == 0
    for line, (ending, moves) in zip(capsys.readouterr().out.splitlines(), LONGEST_MOVES.items(), strict=False):
        assert line.startswith(f"{ending} ")
        assert f"mate in {moves};" in line


def test_an_ending_that_nobody_wins_is_told_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A king with one minor piece cannot mate: FIDE Laws, dead position."""
    assert main(["solve", "KNK", "--table-folder", str(tmp_path)]) == 0
    assert capsys.readouterr().out.splitlines()[0].endswith("no win")


def test_the_size_told_is_what_the_files_take(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", "KQK", "KBNK", "--table-folder", str(tmp_path)]) == 0
    size = sum((tmp_path / f"{name}.ending").stat().st_size for name in ("KQK", "KBNK"))
    assert capsys.readouterr().out.splitlines()[-1].endswith(f", {size / 2**20:.1f} MiB")


def test_what_is_kept_already_is_not_solved_again(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["solve", "KRK", "--table-folder", str(tmp_path)])
    before = (tmp_path / "KRK.ending").stat().st_mtime_ns
    capsys.readouterr()
    assert main(["solve", "KRK", "--table-folder", str(tmp_path)]) == 0
    assert capsys.readouterr().out.split()[:2] == ["KRK", "kept"]
    assert (tmp_path / "KRK.ending").stat().st_mtime_ns == before


def test_a_folder_that_cannot_be_used_gives_one_line_and_status_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")
    assert main(["solve", "KQK", "KRK", "--table-folder", str(blocked / "folder")]) == 1
    told = capsys.readouterr()
    assert told.err.count("\n") == 1
    assert "Not a directory" in told.err
    assert "0 of 2 endings kept" in told.out


def test_the_folder_of_the_environment_is_the_default(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("MATEBOT_TABLES", str(tmp_path / "here"))
    assert main(["solve", "KQK"]) == 0
    assert (tmp_path / "here" / "KQK.ending").exists()
    capsys.readouterr()


def test_an_ending_that_is_not_covered_is_a_user_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["solve", "KBNKBN"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "'KBNKBN'" in told.err
    assert told.err.count("\n") == 1


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        ([], COVERED),
        (["all"], COVERED),
        (["KRK", "krk", "KQK"], (Material.parse("KRK"), Material.parse("KQK"))),
    ],
)
def test_no_name_means_all_and_a_name_counts_once(
    names: list[str], expected: tuple[Material, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    from argparse import ArgumentParser

    parser = ArgumentParser()
    endings.add_endings(parser)
    assert endings.chosen(parser.parse_args(names)) == list(expected)


def test_a_bar_is_shown_on_a_terminal_and_cleared_before_a_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    endings.progress(1, 2, "solving KQK")
    shown = capsys.readouterr().err
    assert shown.startswith("\r[" + "#" * 15 + "." * 15 + "] solving KQK ")
    assert "\n" not in shown
    endings.tell("KQK done")
    told = capsys.readouterr()
    assert told.err == "\r" + " " * (len(shown) - 1) + "\r"
    assert told.out == "KQK done\n"


def test_no_bar_is_written_to_a_file(tmp_path: Path) -> None:
    command = [warm_python(), "-m", "matebot", "solve", "KQK", "KRK", "--table-folder", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    assert done.stderr == ""
    assert done.stdout.count("\n") == 3
    assert Tables(tmp_path).bytes_on_disk(Material.parse("KRK")) == (tmp_path / "KRK.ending").stat().st_size
