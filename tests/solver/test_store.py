"""Solved endings on disk: read back exactly, rebuilt with one line where damaged, never misleading."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import chess
import numpy as np
import pytest

from matebot.solver import store
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

KRK, KQRK = Material.parse("KRK"), Material.parse("KQRK")
ASK = (
    "import chess, sys; from pathlib import Path; from matebot.solver.tables import Tables;"
    "tables = Tables(Path(sys.argv[1]));"
    "print(tables.value(chess.Board('8/8/8/8/8/1k6/4R3/K7 w - - 0 1')).dtm_plies); tables.keep()"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    tables = Tables(tmp_path / "kept")
    tables.prepare(KQRK)
    tables.keep()
    return tmp_path / "kept"


def reopened(folder: Path) -> tuple[Tables, list[str]]:
    notices: list[str] = []
    return Tables(folder, notice=notices.append), notices


def test_what_is_read_back_is_what_was_solved(folder: Path, tables: Tables) -> None:
    kept, notices = reopened(folder)
    for side in (True, False):
        for metric in ("dtm", "dtz"):
            assert np.array_equal(kept.codes(KQRK, side, metric), tables.codes(KQRK, side, metric))
    for board in random_positions("KQRK", 200, seed=1):
        assert kept.value(board) == tables.value(board)
    assert notices == []


def test_what_an_ending_leads_to_is_kept_too(folder: Path) -> None:
    assert {path.name for path in folder.iterdir()} == {"KQK.ending", "KRK.ending", "KQRK.ending"}


def _cut(data: bytes) -> bytes:
    return data[: len(data) // 2]


def _flip_index(data: bytes) -> bytes:
    return data[:60] + bytes([data[60] ^ 1]) + data[61:]


def _foreign_version(data: bytes) -> bytes:
    return data[:16] + (99).to_bytes(4, "little") + data[20:]


@pytest.mark.parametrize(
    ("harm", "says"),
    [
        (_cut, "is truncated"),
        (_flip_index, "has a wrong checksum"),
        (_foreign_version, "has format version 99"),
        (lambda data: b"", "cannot be read"),
        (lambda data: b"x", "is too short"),
        (lambda data: b"?" * len(data), "is no table file"),
    ],
)
def test_a_damaged_file_is_rebuilt_with_one_line(folder: Path, tables: Tables, harm: object, says: str) -> None:
    path = store.path_of(folder, KRK)
    path.write_bytes(harm(path.read_bytes()))  # type: ignore[operator]
    damaged, notices = reopened(folder)
    boards = list(random_positions("KRK", 50, seed=2))
    assert [damaged.value(b) for b in boards] == [tables.value(b) for b in boards]
    assert len(notices) == 1
    assert "KRK" in notices[0]
    assert says in notices[0]
    damaged.keep()
    again, later = reopened(folder)
    assert [again.value(b) for b in boards] == [tables.value(b) for b in boards]
    assert later == []


def test_a_file_of_another_ending_is_not_taken_for_this_one(folder: Path, tables: Tables) -> None:
    store.path_of(folder, KRK).write_bytes(store.path_of(folder, Material.parse("KQK")).read_bytes())
    mistaken, notices = reopened(folder)
    board = chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")
    assert mistaken.value(board) == tables.value(board)
    assert "is of another ending" in notices[0]


def test_a_damaged_row_is_found_when_it_is_read(folder: Path, tables: Tables) -> None:
    path = store.path_of(folder, KRK)
    data = bytearray(path.read_bytes())
    for place in range(len(data) - 4_000, len(data)):
        data[place] ^= 0x55
    for place in range(12_000, 20_000):
        data[place] ^= 0x55
    path.write_bytes(bytes(data))
    damaged, notices = reopened(folder)
    boards = list(random_positions("KRK", 300, seed=3))
    assert [damaged.value(b) for b in boards] == [tables.value(b) for b in boards]
    assert len(notices) == 1
    assert "row" in notices[0]


def test_a_folder_that_cannot_be_written_means_memory_and_one_line(tmp_path: Path, tables: Tables) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")
    in_memory, notices = reopened(blocked / "folder")
    board = chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")
    assert in_memory.value(board) == tables.value(board)
    in_memory.keep()
    in_memory.prepare(Material.parse("KQK"))
    in_memory.keep()
    assert len(notices) == 1
    assert "only in memory" in notices[0]


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, tables: Tables, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    on_full, notices = reopened(tmp_path)
    on_full.prepare(KRK)
    on_full.keep()
    assert len(notices) == 1
    assert "No space left on device" in notices[0]
    assert list(tmp_path.iterdir()) == []


def test_eight_processes_on_an_empty_folder_all_answer(tmp_path: Path) -> None:
    command = [sys.executable, "-c", ASK, str(tmp_path)]
    processes = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(8)]
    answers = [process.communicate(timeout=60)[0].strip() for process in processes]
    assert answers == [str(_krk_plies())] * 8
    assert [path.name for path in tmp_path.iterdir()] == ["KRK.ending"]
    assert reopened(tmp_path)[0].value(chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")).dtm_plies == _krk_plies()


def _krk_plies() -> int | None:
    return Tables().value(chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")).dtm_plies


@pytest.mark.parametrize("delay", [0.15, 0.3, 0.45, 0.6])
def test_killing_a_writer_leaves_nothing_that_misleads(tmp_path: Path, delay: float) -> None:
    solve = "import sys; from matebot.cli import main; main(['solve', 'KBNK', 'KQRK', '--table-folder', sys.argv[1]])"
    process = subprocess.Popen([sys.executable, "-c", solve, str(tmp_path)], stdout=subprocess.DEVNULL)
    time.sleep(delay)
    process.send_signal(signal.SIGKILL)
    process.wait()
    survivor, notices = reopened(tmp_path)
    assert survivor.longest(Material.parse("KBNK"))[0] == 65
    assert notices == []


def test_what_a_killed_writer_left_is_removed_when_it_is_old(tmp_path: Path) -> None:
    old, young = tmp_path / ".KRK.1.2.part", tmp_path / ".KRK.3.4.part"
    for part in (old, young):
        part.write_bytes(b"half")
    os.utime(old, (time.time() - 7_200,) * 2)
    fresh = Tables(tmp_path)
    fresh.prepare(KRK)
    fresh.keep()
    assert not old.exists()
    assert young.exists()


def test_the_folder_is_the_one_named_or_the_platforms(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("MATEBOT_TABLES", str(tmp_path))
    assert store.default_folder() == tmp_path
    monkeypatch.delenv("MATEBOT_TABLES")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(sys, "platform", "linux")
    assert store.default_folder() == tmp_path / "cache" / "matebot"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert store.default_folder() == Path.home() / "Library" / "Caches" / "matebot"
