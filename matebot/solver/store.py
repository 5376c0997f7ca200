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

import errno
import mmap
import os
import re
import struct
import sys
import time
import zlib
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import numpy as np

from matebot.solver.codes import ILLEGAL, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.material import COVERED, Material
from matebot.solver.symmetry import REDUCTION

MAGIC = b"matebot ending\n\0"
VERSION = 1
_HEAD = struct.Struct("<16sIQI8sII")
_STALE_SECONDS = 3600.0
_LEVEL = 1


#: Names of files that are being written.
_PART = re.compile(rf"\.(?:{'|'.join(material.name for material in COVERED)})\.ending\.\d+\.\d+\.part")
#: By platform: the variable that names the place for caches, and where it is below the user's home without one.
_CACHES = {
    "win32": ("LOCALAPPDATA", "AppData", "Local"),
    "darwin": ("", "Library", "Caches"),
    "linux": ("XDG_CACHE_HOME", ".cache"),
}


class Damaged(Exception):
    """A file that cannot be used; the text says why."""


class Interrupted(Exception):
    """Writing was given up because the caller asked for it; nothing is left behind."""


def default_folder() -> Path | None:
    """Return the folder for tables: ``MATEBOT_TABLES`` if set, else in the platform's place for caches.

    None where there is no such place: for a user without a home.
    """
    named = os.environ.get("MATEBOT_TABLES")
    if named:
        return Path(named)
    variable, *below_home = _CACHES.get(sys.platform, _CACHES["linux"])
    caches = os.environ.get(variable) if variable else None
    if caches:
        return Path(caches) / "matebot"
    try:
        return Path.home().joinpath(*below_home) / "matebot"
    except RuntimeError:
        return None


def read_folder(text: str) -> Path:
    """Return a folder as it was written, the user's home for a tilde."""
    try:
        return Path(text).expanduser()
    except RuntimeError:
        return Path(text)


def path_of(folder: Path, material: Material) -> Path:
    """Return where an ending is kept."""
    return folder / f"{material.name}.ending"


def row_bytes(material: Material) -> int:
    """Return the size of a row: one byte for each placement of the men beside the kings."""
    size = 1
    for man, _ in material.men:
        size *= len(squares_of(man))
    return size


def write(folder: Path, material: Material, metrics: list[dict[bool, Codes]], interrupted: Callable[[], bool]) -> None:
    """Keep the codes of an ending, one or two metrics in the reduced layout.

    Raises
    ------
    OSError
        when the folder cannot be written
    Interrupted
        when `interrupted`, asked before each row, returns True; compressing takes nearly all of the time
    """
    rows = []
    for row in (row for codes in metrics for side in (True, False) for row in _rows(codes[side])):
        if interrupted():
            raise Interrupted
        rows.append(_packed(row))
    ends = np.cumsum([len(row) for row in rows], dtype="<u4").tobytes()
    rest = struct.pack("<8sII", material.name.encode(), len(metrics), len(rows)) + ends
    size = _HEAD.size + len(ends) + sum(map(len, rows))
    head = struct.pack("<16sIQI", MAGIC, VERSION, size, zlib.crc32(rest))
    folder.mkdir(parents=True, exist_ok=True)
    _put(path_of(folder, material), [head, rest, *rows])


def _put(path: Path, pieces: list[bytes]) -> None:
    """Write a file whole or not at all."""
    part = path.with_name(f".{path.name}.{os.getpid()}.{time.monotonic_ns()}.part")
    try:
        with part.open("wb") as file:
            file.writelines(pieces)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _rows(codes: Codes) -> list[bytes]:
    flat = codes.reshape(codes.shape[0] * codes.shape[1], -1)
    return [row.tobytes() for row in flat]


def _packed(row: bytes) -> bytes:
    return b"" if row.count(ILLEGAL) == len(row) else zlib.compress(row, _LEVEL)


class Kept:
    """One ending's file, open for reading.

    Attributes
    ----------
    size : bytes on disk
    metrics : how many are told apart, 1 or 2

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
        self.size = len(self._map)
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


class Folder:
    """The folder of table files as one process uses it: a fault is told in one line and never raised.

    Parameters
    ----------
    path : need not exist before something is kept
    notice : receives a line for each file that has to be rebuilt, and one if the folder cannot be used
    """

    def __init__(self, path: Path, notice: Callable[[str], None]) -> None:
        self.path = path
        self._notice = notice
        self._looked = False
        self._readable = self._writable = True

    def read(self, material: Material) -> Kept | None:
        """Return an ending's file, None where it is not kept or not sound."""
        if not self._looked:
            self._look()
        if not self._readable:
            return None
        try:
            return Kept(self.path, material)
        except (FileNotFoundError, NotADirectoryError):
            return None
        except Damaged as fault:
            self.tell_damaged(material, fault)
            return None

    def write(
        self, material: Material, metrics: list[dict[bool, Codes]], interrupted: Callable[[], bool]
    ) -> Kept | None:
        """Keep an ending and return its file, None where that is not possible; see `write` for the parameters.

        Raises
        ------
        Interrupted
            when the caller asked for it
        """
        if not self._writable:
            return None
        try:
            write(self.path, material, metrics, interrupted)
        except OSError as fault:
            self._writable = False
            self._tell_unusable("kept", fault)
            return None
        return self.read(material)

    def tell_damaged(self, material: Material, fault: Damaged) -> None:
        """Tell that an ending's file has to be rebuilt, and why."""
        self._notice(f"the table file of {material.name} {fault}: solving the ending again")

    def _tell_unusable(self, verb: str, fault: OSError | ValueError) -> None:
        why = getattr(fault, "strerror", None) or str(fault)
        self._notice(f"solved endings cannot be {verb} in {str(self.path)!r} ({why}), only in memory")

    def _look(self) -> None:
        """See whether the folder can be entered, and remove what writers that were killed have left there."""
        self._looked = True
        try:
            paths = list(self.path.iterdir())
            if not os.access(self.path, os.X_OK):
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        except FileNotFoundError:
            return
        except (OSError, ValueError) as fault:  # a name that no file can have is a ValueError
            self._readable = self._writable = False
            self._tell_unusable("read or kept", fault)
            return
        for path in paths:
            if _PART.fullmatch(path.name):
                self._sweep(path)

    @staticmethod
    def _sweep(part: Path) -> None:
        # An hour is long enough for the slowest writer, in this process or another.
        with suppress(OSError):
            if time.time() - part.stat().st_mtime > _STALE_SECONDS:
                part.unlink()
