"""Solved endings on disk: one file an ending, read row by row from a memory map.

A file is derived data and may be deleted at any time. It is written to a temporary file and renamed, so a reader
never sees a half-written one, and any number of processes may write the same ending at once.

Layout, little-endian: ``MAGIC``, format version (uint32), size of the file (uint64), CRC-32 of all that follows up
to the rows (uint32), name of the ending (8 bytes), number of metrics (uint32: 1 where both are the same, else 2),
number of rows (uint32), then the ends of the rows (uint32 each), then the rows. A row holds the codes for one metric,
one side to move (White first), one home square of the strong king and one square of the weak king, compressed by zlib,
which checks its own sum; an empty row is all `ILLEGAL`.
"""

from __future__ import annotations

import mmap
import os
import struct
import sys
import time
import zlib
from pathlib import Path

import numpy as np

from matebot.solver.codes import ILLEGAL, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION

MAGIC = b"matebot ending\n\0"
VERSION = 1
_HEAD = struct.Struct("<16sIQI8sII")
_STALE_SECONDS = 3600.0
_LEVEL = 1


class Damaged(Exception):
    """A file that cannot be used; the text says why."""


def default_folder() -> Path:
    """Return the folder for tables: ``MATEBOT_TABLES`` if set, else in the platform's place for caches."""
    named = os.environ.get("MATEBOT_TABLES")
    if named:
        return Path(named)
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "matebot"
    if sys.platform == "darwin":
        return home / "Library" / "Caches" / "matebot"
    return Path(os.environ.get("XDG_CACHE_HOME") or home / ".cache") / "matebot"


def path_of(folder: Path, material: Material) -> Path:
    """Return where an ending is kept."""
    return folder / f"{material.name}.ending"


def row_bytes(material: Material) -> int:
    """Return the size of a row: one byte for each placement of the men beside the kings."""
    size = 1
    for man, _ in material.men:
        size *= len(squares_of(man))
    return size


def write(folder: Path, material: Material, metrics: list[dict[bool, Codes]]) -> None:
    """Keep the codes of an ending, one or two metrics in the reduced layout.

    Raises
    ------
    OSError
        when the folder cannot be written
    """
    folder.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    rows = [_packed(row) for codes in metrics for side in (True, False) for row in _rows(codes[side])]
    ends = np.cumsum([len(row) for row in rows], dtype=np.uint32).tobytes()
    rest = struct.pack("<8sII", material.name.encode(), len(metrics), len(rows)) + ends
    size = _HEAD.size + len(ends) + sum(map(len, rows))
    head = struct.pack("<16sIQI", MAGIC, VERSION, size, zlib.crc32(rest))
    part = folder / f".{material.name}.{os.getpid()}.{time.monotonic_ns()}.part"
    try:
        with part.open("wb") as file:
            file.write(head + rest)
            file.writelines(rows)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path_of(folder, material))
    finally:
        part.unlink(missing_ok=True)


def _rows(codes: Codes) -> list[bytes]:
    flat = codes.reshape(codes.shape[0] * codes.shape[1], -1)
    return [row.tobytes() for row in flat]


def _packed(row: bytes) -> bytes:
    return b"" if row.count(ILLEGAL) == len(row) else zlib.compress(row, _LEVEL)


def _sweep(folder: Path) -> None:
    """Remove what writers that were killed have left."""
    for part in folder.glob(".*.part"):
        try:
            if time.time() - part.stat().st_mtime > _STALE_SECONDS:
                part.unlink()
        except OSError:
            continue


class Kept:
    """One ending's file, open for reading.

    Raises
    ------
    FileNotFoundError, NotADirectoryError
        when the ending is not kept
    Damaged
        when the file is not what it should be
    """

    def __init__(self, folder: Path, material: Material) -> None:
        self.material = material
        try:
            with path_of(folder, material).open("rb") as file:
                self._map = mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
        except (FileNotFoundError, NotADirectoryError):
            raise
        except (OSError, ValueError) as fault:
            raise Damaged(f"cannot be read ({fault})") from None
        self._homes = len(REDUCTION[material.has_pawns].home)
        self.metrics = self._check()

    def _check(self) -> int:
        if len(self._map) < _HEAD.size:
            raise Damaged("is too short")
        magic, version, size, crc, name, metrics, rows = _HEAD.unpack_from(self._map)
        if magic != MAGIC:
            raise Damaged("is no table file")
        if version != VERSION:
            raise Damaged(f"has format version {version}, not {VERSION}")
        if size != len(self._map):
            raise Damaged("is truncated")
        self._first = _HEAD.size + 4 * rows
        if self._first > size or zlib.crc32(self._map[_HEAD.size - 16 : self._first]) != crc:
            raise Damaged("has a wrong checksum")
        if name.rstrip(b"\0").decode("ascii", "replace") != self.material.name:
            raise Damaged("is of another ending")
        if metrics not in (1, 2) or rows != metrics * 2 * self._homes * 64:
            raise Damaged("has another layout")
        ends = np.frombuffer(self._map, dtype="<u4", count=rows, offset=_HEAD.size)
        self._ends = [0, *ends.tolist()]
        return int(metrics)

    def row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        """Return one row of codes.

        Raises
        ------
        Damaged
            when the row's own checksum is wrong
        """
        side = 0 if white_to_move else 1
        number = ((min(metric, self.metrics - 1) * 2 + side) * self._homes + king_class) * 64 + black_king
        start, end = self._ends[number], self._ends[number + 1]
        size = row_bytes(self.material)
        if start == end:
            return bytes([ILLEGAL]) * size
        try:
            row = zlib.decompress(self._map[self._first + start : self._first + end])
        except zlib.error as fault:
            raise Damaged(f"has a damaged row ({fault})") from None
        if len(row) != size:
            raise Damaged("has a row of wrong length")
        return row

    def codes(self, metric: int, white_to_move: bool) -> Codes:
        """Return all codes of one metric and side in the reduced layout."""
        shape = (self._homes, 64, *(len(squares_of(man)) for man, _ in self.material.men))
        rows = [self.row(metric, white_to_move, king, black) for king in range(self._homes) for black in range(64)]
        return np.frombuffer(b"".join(rows), dtype=np.uint8).reshape(shape)
