"""One ending's file under fire: whatever stands in its place or becomes of it while it is open, values stay right."""

from __future__ import annotations

import os
import shutil
import socket
import sys
import tracemalloc
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from matebot.solver import table_file
from matebot.solver.material import Material
from matebot.solver.sources import Damaged, File, Memory
from matebot.solver.store import path_of
from matebot.solver.table_file import Kept
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

KRK, KQRK = Material.parse("KRK"), Material.parse("KQRK")


@pytest.fixture(scope="module")
def pieces(tables: Tables) -> list[bytes]:
    """Return the pieces of the file of king and rook: head, index, then 1,280 rows."""
    return table_file.packed(KRK, [{side: tables.codes(KRK, side) for side in (True, False)}], lambda: False)


def reopened(folder: Path) -> tuple[Tables, list[str]]:
    notices: list[str] = []
    return Tables(folder, notice=notices.append), notices


def answers(tables: Tables, count: int, seed: int) -> list[object]:
    return [tables.value(board) for board in random_positions("KRK", count, seed=seed)]


def _cut(path: Path) -> None:
    os.truncate(path, 100)


def _empty(path: Path) -> None:
    os.truncate(path, 0)


def _copy_a_shorter_file_over(path: Path) -> None:
    """Write the same file anew, as copying does; a rename would leave the open one alone."""
    shorter = path.with_name("shorter")
    shorter.write_bytes(path.read_bytes()[:6_000])
    shutil.copyfile(shorter, path)
    shorter.unlink()


def _overwrite(path: Path) -> None:
    with path.open("r+b") as file:
        file.seek(6_000)
        file.write(b"\x5a" * (path.stat().st_size - 6_000))


@pytest.mark.parametrize("harm", [_cut, _empty, _copy_a_shorter_file_over, _overwrite])
def test_a_file_that_shrinks_or_changes_while_it_is_open_costs_no_more_than_solving_again(
    tmp_path: Path, pieces: list[bytes], tables: Tables, harm: Callable[[Path], None]
) -> None:
    path_of(tmp_path, KRK).write_bytes(b"".join(pieces))
    reader, notices = reopened(tmp_path)
    assert answers(reader, 5, 1) == answers(tables, 5, 1)
    harm(path_of(tmp_path, KRK))
    assert answers(reader, 300, 2) == answers(tables, 300, 2)
    assert len(notices) == 1
    assert "solving the ending again" in notices[0]
    reader.keep()
    mended, later = reopened(tmp_path)
    assert answers(mended, 300, 3) == answers(tables, 300, 3)
    assert later == []


def _folder(path: Path) -> None:
    path.mkdir()


def _pipe(path: Path) -> None:
    os.mkfifo(path)


def _socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind(str(path))


def _device(path: Path) -> None:
    path.symlink_to("/dev/zero")


@pytest.mark.skipif(sys.platform == "win32", reason="makes pipes and devices")
@pytest.mark.parametrize("put", [_folder, _pipe, _socket, _device])
def test_only_a_regular_file_is_opened_and_nothing_else_is_waited_for_or_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, tables: Tables, put: Callable[[Path], None]
) -> None:
    monkeypatch.chdir(tmp_path)  # the name of a socket must be short
    path = path_of(Path(), KRK)
    put(path)
    kind = path.lstat().st_mode
    reader, notices = reopened(Path())
    assert answers(reader, 20, 4) == answers(tables, 20, 4)
    assert notices == ["the table file of KRK is no regular file: solving the ending again"]
    reader.keep()
    assert path.lstat().st_mode == kind
    reader.prepare(Material.parse("KQK"))
    reader.keep()
    assert reader.bytes_on_disk(Material.parse("KQK")) > 0
    assert reader.bytes_on_disk(KRK) == 0
    assert answers(reader, 20, 5) == answers(tables, 20, 5)
    assert len(notices) == 1


@pytest.mark.skipif(sys.platform == "win32", reason="makes a pipe")
def test_what_becomes_a_pipe_between_looking_and_opening_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    regular, pipe = tmp_path / "regular", tmp_path / "pipe"
    regular.touch()
    os.mkfifo(pipe)
    status = regular.stat()
    monkeypatch.setattr(Path, "stat", lambda path: status)
    with pytest.raises(Damaged, match="is no regular file"):
        File(pipe)


def with_row(pieces: list[bytes], row: bytes) -> Kept:
    """Return the file with its last row that is not empty replaced, all checksums right."""
    number = max(i for i, piece in enumerate(pieces) if piece)
    rows = [*pieces[2:number], row, *pieces[number + 1 :]]
    ends = [sum(map(len, rows[: i + 1])) for i in range(len(rows))]
    rest = pieces[1][:16] + b"".join(end.to_bytes(4, "little") for end in ends)
    size = 32 + len(rest) + ends[-1]
    head = pieces[0][:20] + size.to_bytes(8, "little") + zlib.crc32(rest).to_bytes(4, "little")
    return Kept(KRK, Memory([head, rest, *rows]))


def last_row(kept: Kept) -> bytes:
    """Read the row that `with_row` replaces: of the last placement of the kings that is legal, Black to move."""
    return kept.row(0, False, 9, 63)


def test_a_row_that_would_unpack_to_more_than_its_size_is_refused_unread(pieces: list[bytes]) -> None:
    assert last_row(with_row(pieces, zlib.compress(bytes(64)))) == bytes(64)
    bomb = with_row(pieces, zlib.compress(bytes(1 << 26)))
    tracemalloc.start()
    with pytest.raises(Damaged, match="row that is of wrong length"):
        last_row(bomb)
    assert tracemalloc.get_traced_memory()[1] < 1 << 20
    tracemalloc.stop()


@pytest.mark.parametrize(
    "row",
    [zlib.compress(bytes(63)), zlib.compress(bytes(65)), zlib.compress(bytes(64))[:-1], zlib.compress(b"")],
    ids=["too short", "too long", "cut", "empty"],
)
def test_a_row_of_any_other_size_is_refused(pieces: list[bytes], row: bytes) -> None:
    with pytest.raises(Damaged, match="row"):
        last_row(with_row(pieces, row))


def test_an_index_that_runs_backwards_or_past_the_end_is_refused(pieces: list[bytes]) -> None:
    """Its checksum is right: whoever made it meant it."""
    for place, value in ((100, 0xFFFFFFFF), (-4, 0x7FFFFFFF), (-4, 1)):
        rest = bytearray(pieces[1])
        at = place % len(rest) // 4 * 4
        rest[at : at + 4] = value.to_bytes(4, "little")
        head = pieces[0][:28] + zlib.crc32(rest).to_bytes(4, "little")
        with pytest.raises(Damaged, match="another layout"):
            Kept(KRK, Memory([head, bytes(rest), *pieces[2:]]))


def test_without_reading_by_position_rows_are_sought(
    tmp_path: Path, pieces: list[bytes], monkeypatch: pytest.MonkeyPatch, tables: Tables
) -> None:
    path_of(tmp_path, KRK).write_bytes(b"".join(pieces))
    monkeypatch.delattr(os, "pread", raising=False)
    reader, notices = reopened(tmp_path)
    assert answers(reader, 100, 6) == answers(tables, 100, 6)
    assert notices == []


def test_files_are_closed_when_nobody_uses_the_tables_any_more(tmp_path: Path, pieces: list[bytes]) -> None:
    path = path_of(tmp_path, KRK)
    path.write_bytes(b"".join(pieces))
    source = File(path)
    descriptor = source._descriptor
    os.fstat(descriptor)
    del source
    with pytest.raises(OSError, match="Bad file descriptor"):
        os.fstat(descriptor)
