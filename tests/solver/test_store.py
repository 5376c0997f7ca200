"""Solved endings on disk: read back exactly, rebuilt with one line where damaged, never misleading."""

from __future__ import annotations

import gc
import os
import re
import shutil
import signal
import subprocess
import sys
import time
import weakref
from collections.abc import Callable
from itertools import count
from pathlib import Path
from random import Random

import chess
import numpy as np
import pytest

from matebot.solver import endings as endings_module
from matebot.solver import store
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.warm_processes import warm_python
from tests.witness.positions import random_positions

KRK, KQRK = Material.parse("KRK"), Material.parse("KQRK")
ASK = (
    "import chess, sys; from pathlib import Path; from matebot.solver.tables import Tables;"
    "tables = Tables(Path(sys.argv[1]));"
    "print(tables.value(chess.Board('8/8/8/8/8/1k6/4R3/K7 w - - 0 1')).dtm_plies); tables.keep()"
)


@pytest.fixture(autouse=True)
def no_progress(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is told of solving, however long it takes; see `solver.test_tables`."""
    monkeypatch.setattr(endings_module, "_QUIET_SECONDS", float("inf"))


@pytest.fixture(scope="module")
def kept_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("kept")
    tables = Tables(folder)
    tables.prepare(KQRK)
    tables.keep()
    return folder


@pytest.fixture
def folder(tmp_path: Path, kept_once: Path) -> Path:
    return Path(shutil.copytree(kept_once, tmp_path / "kept"))


def reopened(folder: Path) -> tuple[Tables, list[str]]:
    notices: list[str] = []
    return Tables(folder, notice=notices.append), notices


def test_keeping_can_be_interrupted_and_taken_up_again(tmp_path: Path, tables: Tables) -> None:
    """The ending asked for comes first, in 2,560 rows; then the next is under way at the 3,000th."""
    busy, notices = reopened(tmp_path)
    busy.prepare(KQRK)
    asked = count()
    busy.keep(lambda: next(asked) == 3_000)
    assert [path.name for path in tmp_path.iterdir()] == ["KQRK.ending"]
    assert busy.bytes_on_disk(KQRK) > 0
    busy.keep(lambda: True)
    assert [path.name for path in tmp_path.iterdir()] == ["KQRK.ending"]
    busy.keep()
    assert {path.name for path in tmp_path.iterdir()} == {"KQK.ending", "KRK.ending", "KQRK.ending"}
    assert notices == []
    assert np.array_equal(reopened(tmp_path)[0].codes(KQRK, True, "dtz"), tables.codes(KQRK, True, "dtz"))


def test_what_is_kept_does_not_stay_in_memory(tmp_path: Path, tables: Tables) -> None:
    kept, _ = reopened(tmp_path)
    arrays = [weakref.ref(kept.codes(KQRK, side, metric)) for side in (True, False) for metric in ("dtm", "dtz")]
    assert all(array() is not None for array in arrays)
    kept.keep()
    gc.collect()
    assert all(array() is None for array in arrays)
    assert np.array_equal(kept.codes(KQRK, True), tables.codes(KQRK, True))


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
        (lambda data: b"", "is too short"),
        (lambda data: b"x", "is too short"),
        (lambda data: b"?" * len(data), "is no table file"),
    ],
)
def test_a_damaged_file_is_rebuilt_with_one_line(
    folder: Path, tables: Tables, harm: Callable[[bytes], bytes], says: str
) -> None:
    path = store.path_of(folder, KRK)
    path.write_bytes(harm(path.read_bytes()))
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


def test_no_changed_byte_ever_changes_a_value(tmp_path: Path, tables: Tables) -> None:
    """Whatever the bit: every code is right, and the file is rebuilt with one line.

    The few bits that fill up the last byte of a compressed row (RFC 1951) mean nothing and are not noticed.
    """
    writer = Tables(tmp_path)
    writer.prepare(KRK)
    writer.keep()
    path = store.path_of(tmp_path, KRK)
    sound, random = path.read_bytes(), Random(1)
    right = {side: tables.codes(KRK, side) for side in (True, False)}
    places = [*range(0, 52, 3), *(random.randrange(52, len(sound)) for _ in range(40))]
    told = 0
    for place in places:
        path.write_bytes(sound[:place] + bytes([sound[place] ^ 1 << random.randrange(8)]) + sound[place + 1 :])
        damaged, notices = reopened(tmp_path)
        assert all(np.array_equal(damaged.codes(KRK, side), codes) for side, codes in right.items()), place
        assert len(notices) <= 1, place
        told += len(notices)
    assert told >= len(places) - 3


def test_a_file_cut_anywhere_is_rebuilt(folder: Path, tables: Tables) -> None:
    path = store.path_of(folder, KRK)
    sound, random = path.read_bytes(), Random(2)
    for size in [0, 1, 15, 47, 48, 49, *(random.randrange(len(sound)) for _ in range(20)), len(sound) - 1]:
        path.write_bytes(sound[:size])
        damaged, notices = reopened(folder)
        assert np.array_equal(damaged.codes(KRK, False), tables.codes(KRK, False))
        assert len(notices) == 1


def spoil_rows(path: Path) -> None:
    data = bytearray(path.read_bytes())
    for place in range(12_000, len(data)):
        data[place] ^= 0x55
    path.write_bytes(bytes(data))


def test_a_damaged_row_is_found_when_it_is_read_and_mended_on_disk(folder: Path, tables: Tables) -> None:
    spoil_rows(store.path_of(folder, KRK))
    damaged, notices = reopened(folder)
    boards = list(random_positions("KRK", 300, seed=3))
    assert [damaged.value(b) for b in boards] == [tables.value(b) for b in boards]
    assert len(notices) == 1
    assert "row" in notices[0]
    damaged.keep()
    mended, later = reopened(folder)
    assert np.array_equal(mended.codes(KRK, True), tables.codes(KRK, True))
    assert later == []


def test_a_damaged_row_that_cannot_be_mended_is_told_once(
    folder: Path, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoil_rows(store.path_of(folder, KRK))
    damaged, notices = reopened(folder)
    monkeypatch.setattr(os, "fsync", full)
    boards = list(random_positions("KRK", 300, seed=3))
    for _ in range(2):
        assert [damaged.value(b) for b in boards] == [tables.value(b) for b in boards]
        assert np.array_equal(damaged.codes(KRK, True), tables.codes(KRK, True))
        damaged.keep()
    assert len(notices) == 2  # one for the file, one for the disk
    assert "row" in notices[0]
    assert re.match("solved endings cannot be kept in .*only in memory$", notices[1])


def test_a_file_that_cannot_be_opened_is_told_and_done_without(folder: Path, tables: Tables) -> None:
    path = store.path_of(folder, KRK)
    path.unlink()
    path.mkdir()
    without, notices = reopened(folder)
    board = chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")
    assert without.value(board) == tables.value(board)
    assert len(notices) == 1
    assert "KRK is no regular file" in notices[0]


def test_a_folder_that_cannot_be_entered_is_told_once(
    folder: Path, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    def opened(path: Path) -> None:
        raise AssertionError(path)

    monkeypatch.setattr(os, "access", lambda path, mode: False)  # permissions do not bind the superuser
    monkeypatch.setattr(store, "File", opened)
    shut, notices = reopened(folder)
    for board in random_positions("KQRK", 50, seed=4):
        assert shut.value(board) == tables.value(board)
    shut.keep()
    assert len(notices) == 1
    assert "Permission denied" in notices[0]


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


def test_a_disk_that_only_reads_gives_what_is_kept_and_one_line(
    folder: Path, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    def only_read(path: Path, mode: str = "r", *rest: object) -> object:
        if "w" in mode:
            raise OSError(30, "Read-only file system")
        return opening(path, mode)

    opening = Path.open
    monkeypatch.setattr(Path, "open", only_read)
    reading, notices = reopened(folder)
    for name in ("KRRK", "KQRK", "KQQK"):
        for board in random_positions(name, 20, seed=5):
            assert reading.value(board) == tables.value(board)
        reading.keep()
    assert len(notices) == 1
    assert "Read-only file system" in notices[0]
    assert reading.bytes_on_disk(KQRK) > 0
    assert reading.bytes_on_disk(Material.parse("KRRK")) == 0


def full(descriptor: int) -> None:
    raise OSError(28, "No space left on device")


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "fsync", full)
    on_full, notices = reopened(tmp_path)
    on_full.prepare(KRK)
    on_full.keep()
    assert len(notices) == 1
    assert "No space left on device" in notices[0]
    assert list(tmp_path.iterdir()) == []


def test_four_processes_on_an_empty_folder_all_answer(tmp_path: Path) -> None:
    command = [warm_python(), "-c", ASK, str(tmp_path)]
    processes = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(4)]
    answers = [process.communicate(timeout=60)[0].strip() for process in processes]
    assert answers == [str(_krk_plies())] * 4
    assert [path.name for path in tmp_path.iterdir()] == ["KRK.ending"]
    assert reopened(tmp_path)[0].value(chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")).dtm_plies == _krk_plies()


def _krk_plies() -> int | None:
    return Tables().value(chess.Board("8/8/8/8/8/1k6/4R3/K7 w - - 0 1")).dtm_plies


@pytest.mark.parametrize("files", [1, 3])
def test_killing_a_builder_between_two_files_leaves_nothing_that_misleads(tmp_path: Path, files: int) -> None:
    solve = "import sys; from matebot.cli import main; main(['solve', 'KBNK', 'KQRK', '--table-folder', sys.argv[1]])"
    process = subprocess.Popen([sys.executable, "-c", solve, str(tmp_path)], stdout=subprocess.DEVNULL)
    while len(list(tmp_path.glob("*.ending"))) < files:
        assert process.poll() is None
        time.sleep(0.002)
    process.send_signal(signal.SIGKILL)
    process.wait()
    survivor, notices = reopened(tmp_path)
    assert survivor.longest(Material.parse("KBNK"))[0] == 65  # 33 moves: endgame handbooks, from memory
    assert notices == []


def test_killing_a_builder_while_it_writes_leaves_only_its_temporary_file(tmp_path: Path, tables: Tables) -> None:
    hold = "import os, time; os.fsync = lambda descriptor: (print('writing', flush=True), time.sleep(60));"
    process = subprocess.Popen([sys.executable, "-c", hold + ASK, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert [process.stdout.readline().strip() for _ in range(2)] == [str(_krk_plies()), "writing"]
    process.send_signal(signal.SIGKILL)
    process.communicate()
    (part,) = tmp_path.iterdir()
    assert part.suffix == ".part"
    survivor, notices = reopened(tmp_path)
    assert np.array_equal(survivor.codes(KRK, True), tables.codes(KRK, True))
    survivor.keep()
    assert notices == []
    assert store.path_of(tmp_path, KRK).exists()
    os.utime(part, (time.time() - 7_200,) * 2)
    reopened(tmp_path)[0].prepare(KRK)
    assert not part.exists()


def aged(part: Path, seconds: float) -> Path:
    """Make a file that was last written so long ago."""
    part.write_bytes(b"half")
    os.utime(part, (time.time() - seconds,) * 2)
    return part


def test_what_killed_writers_left_is_removed_and_nothing_else(tmp_path: Path) -> None:
    """A writer that lives holds a lock on its file; after an hour even a file that is held is removed."""
    left = [aged(tmp_path / ".KRK.ending.1.2.part", 120), aged(tmp_path / ".KBNK.ending.1.3.part", 7_200)]
    young = tmp_path / ".KRK.ending.3.4.part"
    young.write_bytes(b"half")
    foreign = [aged(tmp_path / name, 7_200) for name in ("film.part", ".KXK.ending.1.2.part", ".KRK.ending.part")]
    folder = tmp_path / ".KQK.ending.1.2.part"
    folder.mkdir()
    link = tmp_path / ".KQK.ending.3.4.part"
    link.symlink_to(foreign[0])
    held = aged(tmp_path / ".KQK.ending.5.6.part", 120)
    with held.open("rb") as file:
        store._lock(file.fileno())
        fresh = Tables(tmp_path)
        fresh.prepare(KRK)
        fresh.keep()
    assert not any(part.exists() for part in left)
    assert all(path.exists() for path in (young, *foreign, folder, link, held))
    reopened(tmp_path)[0].prepare(KRK)
    assert not held.exists()


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("there", None),
        ("there/new", None),
        ("no/such/place", "there is no folder"),
        ("there/a file", "it is no folder"),
        ("there/a file/new", "Not a directory"),
        ("there/nowhere", "it is no folder"),
        ("there/loop", "Too many levels of symbolic links"),
        ("x" * 300, "File name too long"),
        ("no\0name", "null"),
    ],
)
def test_a_folder_is_told_to_be_bad_at_once_and_in_one_line(tmp_path: Path, name: str, says: str | None) -> None:
    there = tmp_path / "there"
    there.mkdir()
    (there / "a file").touch()
    (there / "nowhere").symlink_to(tmp_path / "gone")
    (there / "loop").symlink_to(there / "loop")
    fault = store.folder_fault(tmp_path / name)
    assert (fault is None) == (says is None)
    if fault is not None and says is not None:
        assert says in fault
        assert fault.startswith("solved endings cannot be read or kept in ")
        assert fault.endswith("only in memory")
        assert "\n" not in fault
    assert not (there / "new").exists()


@pytest.mark.parametrize(("forbidden", "verb"), [(os.R_OK, "read or kept"), (os.W_OK, "kept")])
def test_a_folder_that_may_not_be_entered_or_written_is_told_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, forbidden: int, verb: str
) -> None:
    """Permissions do not bind the superuser, so the system's own check is replaced."""
    monkeypatch.setattr(os, "access", lambda path, mode: not mode & forbidden)
    fault = store.folder_fault(tmp_path)
    assert fault == f"solved endings cannot be {verb} in {str(tmp_path)!r} (Permission denied), only in memory"


def test_only_the_last_part_of_a_path_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mistyped, notices = reopened(tmp_path / "no" / "such")
    mistyped.prepare(KRK)
    mistyped.keep()
    assert not (tmp_path / "no").exists()
    assert len(notices) == 1
    new, notices = reopened(tmp_path / "new")
    new.prepare(KRK)
    assert notices == [
        f"the folder {str(tmp_path / 'new')!r} is not there yet: it will be made to keep solved endings in"
    ]
    new.keep()
    assert store.path_of(tmp_path / "new", KRK).exists()


def test_the_platforms_place_for_caches_is_made_whole_and_without_a_word(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Programs make that place where it is missing: XDG Base Directory Specification 0.8."""
    monkeypatch.delenv("MATEBOT_TABLES", raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home" / "cache"))
    folder = store.default_folder()
    assert folder is not None
    assert store.folder_fault(folder) is None
    usual, notices = reopened(folder)
    usual.prepare(KRK)
    usual.keep()
    assert notices == []
    assert usual.bytes_on_disk(KRK) > 0


def test_what_is_told_of_a_folder_when_asked_is_not_told_again(tmp_path: Path) -> None:
    bad, notices = reopened(tmp_path / "no" / "such")
    assert bad.folder_remark() == store.folder_fault(tmp_path / "no" / "such")
    bad.prepare(KRK)
    bad.keep()
    assert notices == []
    assert Tables().folder_remark() is None
    assert Tables(tmp_path).folder_remark() is None


def test_the_folder_is_the_one_named_or_the_platforms(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("MATEBOT_TABLES", str(tmp_path))
    assert store.default_folder() == tmp_path
    monkeypatch.delenv("MATEBOT_TABLES")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(sys, "platform", "linux")
    assert store.default_folder() == tmp_path / "cache" / "matebot"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert store.default_folder() == Path.home() / "Library" / "Caches" / "matebot"
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "local"))
    assert store.default_folder() == tmp_path / "local" / "matebot"


def test_without_a_home_and_with_an_impossible_folder_endings_are_solved_in_memory(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def homeless() -> Path:
        raise RuntimeError("could not determine home directory")

    for variable in ("MATEBOT_TABLES", "XDG_CACHE_HOME"):
        monkeypatch.delenv(variable, raising=False)
    monkeypatch.setattr(Path, "home", homeless)
    monkeypatch.setattr(sys, "platform", "linux")
    assert store.default_folder() is None
    notices: list[str] = []
    impossible = Tables(Path("no\0name"), notice=notices.append)
    assert impossible.longest(KRK)[0] == 31  # 16 moves: endgame handbooks, from memory
    assert len(notices) == 1
    assert "only in memory" in notices[0]
