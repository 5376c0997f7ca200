"""Files of five men that are used least lately make room, those in use and those of fewer men never do."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from matebot.cli import main
from matebot.partner import MatePartner
from matebot.solver.budget import mark_used, throw_out
from matebot.solver.material import Material, closure
from matebot.solver.sources import File
from matebot.solver.store import path_of
from matebot.solver.table_file import Kept
from matebot.solver.tables import Tables
from tests.five_men import five, put_empty_files

KRK = Material.parse("KRK")
OLD, MIDDLE, NEW = five("KRNKR"), five("KBBKN"), five("KBBBK")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three files of five men of 1 MiB, used one after the other, and one of three men used before them."""
    for second, material in enumerate((KRK, OLD, MIDDLE, NEW)):
        path = path_of(tmp_path, material)
        path.write_bytes(bytes(2**20))
        os.utime(path, (second, second))
    return tmp_path


def kept(folder: Path) -> set[str]:
    return {path.stem for path in folder.glob("*.ending")}


@pytest.mark.parametrize(
    ("mebibytes", "left"),
    [
        (4, {"KRK", "KRNKR", "KBBKN", "KBBBK"}),
        (3, {"KRK", "KBBKN", "KBBBK"}),
        (2, {"KRK", "KBBBK"}),
        (1, {"KRK"}),
        (0.5, {"KRK"}),
    ],
)
def test_the_files_used_least_lately_go_first_and_those_of_few_men_stay(
    folder: Path, mebibytes: float, left: set[str]
) -> None:
    assert throw_out(folder, int(mebibytes * 2**20), ()) == len(left) * 2**20
    assert kept(folder) == left


def test_what_is_in_use_stays_and_the_next_goes(folder: Path) -> None:
    assert throw_out(folder, 2 * 2**20, {OLD}) == 2 * 2**20
    assert kept(folder) == {"KRK", "KRNKR"}
    assert throw_out(folder, 0, {OLD}) == 2 * 2**20


def test_a_file_that_is_used_is_the_newest_from_then_on(folder: Path) -> None:
    mark_used(folder, OLD)
    mark_used(folder, KRK)
    assert path_of(folder, KRK).stat().st_mtime == 0
    throw_out(folder, 2 * 2**20, ())
    assert kept(folder) == {"KRK", "KRNKR"}


def test_nothing_but_files_of_endings_is_touched(folder: Path) -> None:
    path_of(folder, five("KQQQK")).mkdir()
    (folder / "notes.txt").write_bytes(bytes(2**20))
    throw_out(folder, 0, ())
    assert {path.name for path in folder.iterdir()} == {"KRK.ending", "KQQQK.ending", "notes.txt"}


def test_a_folder_that_is_not_there_takes_nothing(tmp_path: Path) -> None:
    assert throw_out(tmp_path / "nowhere", 0, ()) == 0


@pytest.mark.skipif(os.name == "nt", reason="an open file cannot be removed there")
def test_whoever_has_a_file_open_goes_on_reading_it(tmp_path: Path) -> None:
    put_empty_files(tmp_path, OLD)
    reading = Kept(OLD, File(path_of(tmp_path, OLD)))
    throw_out(tmp_path, 0, ())
    assert kept(tmp_path) == set()
    assert set(reading.row(0, True, 0, 0)) == {255}


def test_an_ending_that_is_asked_for_stays_with_what_it_leads_to_and_is_the_newest(tmp_path: Path) -> None:
    pawn = five("KRPKR")
    for material in put_empty_files(tmp_path, pawn) + put_empty_files(tmp_path, OLD):
        os.utime(path_of(tmp_path, material), (1, 1))
    notices: list[str] = []
    tables = Tables(tmp_path, notice=notices.append)
    tables.check_ending(pawn)
    assert path_of(tmp_path, pawn).stat().st_mtime > 1
    tables._budget_bytes = 600_000
    tables._keep_to_budget()
    assert kept(tmp_path) == {material.name for material in closure(pawn) if len(material.men) > 2}
    assert "those in use and those of fewer men are kept" in notices[0]
    assert sum(path.stat().st_size for path in tmp_path.iterdir()) in range(600_000, 1_500_000)
    assert "take 1 MiB, more than the 1 MiB allowed" in notices[0]


def test_a_session_keeps_to_the_budget_of_its_option(folder: Path) -> None:
    partner = MatePartner({"Table Folder": str(folder), "Table Budget": 2})
    assert kept(folder) == {"KRK", "KBBBK"}
    partner.set_option("Table Budget", 0)
    partner.finish(0.0)


def test_solving_keeps_to_the_budget_of_its_option(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path_of(folder, KRK).unlink()
    assert main(["solve", "KQK", "--table-budget", "1", "--table-folder", str(folder)]) == 0
    assert kept(folder) == {"KQK", "KBBBK"}
    assert main(["solve", "KQK", "--table-budget", "-1"]) == 2
    assert "at least 0 MiB, got -1" in capsys.readouterr().err
