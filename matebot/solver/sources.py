"""Where the bytes of a solved ending stand: in memory, or in a regular file, read by position and never mapped."""

from __future__ import annotations

import os
import stat
import threading
import weakref
from pathlib import Path
from typing import Protocol

#: Not to wait for whoever writes into a pipe, and no change of line ends or of the terminal; each where there is it.
_OPENING = os.O_RDONLY
for _flag in ("O_NONBLOCK", "O_NOCTTY", "O_CLOEXEC", "O_BINARY"):
    _OPENING |= getattr(os, _flag, 0)


class Damaged(Exception):
    """A file that cannot be used; the text says why."""


class Source(Protocol):
    """Bytes to be read by position; `size` is how many there are."""

    size: int
    on_disk: bool

    def read(self, start: int, end: int) -> bytes:
        """Return the bytes between two positions, fewer where there are no more."""
        ...


class Memory:
    """The pieces of a file held in memory."""

    on_disk = False

    def __init__(self, pieces: list[bytes]) -> None:
        self._whole = memoryview(b"".join(pieces))
        self.size = len(self._whole)

    def read(self, start: int, end: int) -> bytes:
        """Return the bytes between two positions."""
        return bytes(self._whole[start:end])


class File:
    """A regular file, open until nobody uses it any more.

    Raises
    ------
    OSError
        when there is none, or it cannot be opened
    Damaged
        when something else has its name: a folder, a pipe, a device
    """

    on_disk = True

    def __init__(self, path: Path) -> None:
        if not stat.S_ISREG(path.stat().st_mode):  # opening a device may do more than open it
            raise Damaged("is no regular file")
        self._descriptor = os.open(path, _OPENING)
        weakref.finalize(self, os.close, self._descriptor)
        status = os.fstat(self._descriptor)
        if not stat.S_ISREG(status.st_mode):
            raise Damaged("is no regular file")
        self.size = status.st_size
        self._lock = threading.Lock()

    def read(self, start: int, end: int) -> bytes:
        """Return the bytes between two positions, fewer where the file has been cut."""
        if hasattr(os, "pread"):
            return os.pread(self._descriptor, end - start, start)
        with self._lock:
            os.lseek(self._descriptor, start, os.SEEK_SET)
            return os.read(self._descriptor, end - start)
