"""What a short session leaves on disk: the ending it was asked about, whichever way it ends."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.conformance.process import PATIENCE, PATIENT, PROGRAM
from tests.warm_processes import warm_python

ROOK = "position fen 8/8/8/3k4/8/8/8/K1R5 w - - 0 1"


def session(folder: Path, *commands: str) -> list[str]:
    """Run a session whose input is there all at once, and return what it says."""
    done = subprocess.run(
        [warm_python(), "-c", PROGRAM.format(PATIENT)],
        input="".join(f"{command}\n" for command in commands),
        env={**os.environ, "MATEBOT_TABLES": str(folder)},
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=True,
    )
    assert done.stderr == ""
    return done.stdout.splitlines()


@pytest.mark.parametrize("end", [[], ["quit"]], ids=["end of input", "quit"])
def test_a_session_of_one_question_leaves_its_ending_kept(tmp_path: Path, end: list[str]) -> None:
    said = session(tmp_path, ROOK, "go depth 1", *end)
    assert said[-1].startswith("bestmove ")
    assert said[-1] != "bestmove 0000"
    assert (tmp_path / "KRK.ending").exists()
    assert not list(tmp_path.glob(".*"))
    again = Tables(tmp_path)
    again.prepare(Material.parse("KRK"))
    assert again.bytes_on_disk(Material.parse("KRK")) > 0
    # A second session asks the disk and says the same.
    written = (tmp_path / "KRK.ending").stat().st_mtime_ns
    assert session(tmp_path, ROOK, "go depth 1", *end)[-1] == said[-1]
    assert (tmp_path / "KRK.ending").stat().st_mtime_ns == written


def test_a_session_without_a_folder_ends_as_well(tmp_path: Path) -> None:
    said = session(tmp_path / "no" / "such", ROOK, "go depth 1", "quit")
    assert said[-1].startswith("bestmove ")
    assert list(tmp_path.iterdir()) == []
