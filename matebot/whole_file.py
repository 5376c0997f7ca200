"""Files that are written whole or not at all: what stood in their place stays there until the new text is complete.

The text goes to a part file beside it, which is put in its place at the end. A killed writer leaves its part file
behind; the next one to write the same file sweeps it away. A fault is told with the name the user gave.
Never decides what is written.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import BinaryIO, Literal

from matebot.errors import UserError

if sys.platform != "win32":
    import fcntl

#: Takes the next bytes of a file.
Write = Callable[[bytes], None]


@contextmanager
def named(path: Path, kind: Literal["read", "written"]) -> Iterator[None]:
    """Tell a fault of the system, or a name that no system takes, with the name of the file it befell."""
    try:
        yield
    except (OSError, ValueError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) else fault
        raise UserError(f"expected a file that can be {kind} ({reason}), got {str(path)!r}") from None


def check_place(path: Path | None) -> None:
    """Find out before the work whether a file can be written in a place, and leave what is there; None is no file.

    Raises
    ------
    UserError
        when it cannot
    """
    if path is None:
        return
    with named(path, "written"):
        if path.is_dir() or not path.absolute().parent.is_dir():
            raise UserError(f"expected a file in a folder that is there, got {str(path)!r}")
        if _lasting(path):
            beside, file = _part(path)
            file.close()
            beside.unlink()
        elif not os.access(path, os.W_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


@contextmanager
def whole_file(path: Path) -> Iterator[Write]:
    """Give a way to write a file, which is put in its place at the end, unless there was a fault.

    Devices and pipes have nothing to keep and are written to at once.

    Raises
    ------
    UserError
        when the file cannot be written
    """
    beside: Path | None = None
    with named(path, "written"):
        if _lasting(path):
            beside, file = _part(path)
        else:
            file = path.open("wb")
    try:
        yield _writer(file, path)
        with named(path, "written"):
            file.flush()
            if beside is not None:
                _swap(beside, file, path.resolve())
            file.close()
    finally:
        with suppress(OSError):
            file.close()
        if beside is not None:
            beside.unlink(missing_ok=True)


def write_whole(path: Path, text: str) -> None:
    """Write a text as a whole file in UTF-8; characters that have no place in it are written as in a Python string.

    Raises
    ------
    UserError
        when the file cannot be written
    """
    with whole_file(path) as write:
        write(text.encode("utf-8", "backslashreplace"))


def _lasting(path: Path) -> bool:
    """Whether what is written to a path stays there, or would; anything else is no file to be replaced."""
    try:
        return stat.S_ISREG(path.stat().st_mode) or path.is_dir()
    except FileNotFoundError:
        return True


def _part(path: Path) -> tuple[Path, BinaryIO]:
    """Open a new part file for a path; on most systems it is locked as long as its writer lives."""
    place = path.resolve()  # a link stays one
    if place.exists():
        place.open("ab").close()  # a folder or a protected file is none to replace
    _sweep(place)
    for number in count():
        beside = place.with_name(f".{place.name}.{os.getpid()}.{number}.part")
        with suppress(FileExistsError):
            file = beside.open("xb")
            with suppress(OSError):
                _lock(file)
            return beside, file
    raise AssertionError("expected no end of numbers")


def _sweep(place: Path) -> None:
    """Remove the part files of a place that belong to no living writer."""
    form = re.compile(rf"\.{re.escape(place.name)}\.(\d+)\.\d+\.part")
    with suppress(OSError):
        for beside in place.parent.iterdir():
            found = form.fullmatch(beside.name)
            if found and stat.S_ISREG(beside.lstat().st_mode) and not _runs(int(found[1])):
                with suppress(OSError), beside.open("rb") as file:
                    _lock(file)  # fails where the writer lives, perhaps on another machine
                    beside.unlink()


def _runs(pid: int) -> bool:
    """Whether a process of this machine has a number."""
    if sys.platform == "win32":
        return False  # there a file in use cannot be removed, which says as much
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _lock(file: BinaryIO) -> None:
    """Lock a file unless another has; the lock ends with its holder."""
    if sys.platform != "win32":
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _writer(file: BinaryIO, path: Path) -> Write:
    def write(data: bytes) -> None:
        with named(path, "written"):
            file.write(data)

    return write


def _swap(beside: Path, file: BinaryIO, place: Path) -> None:
    """Put a file in the place of another, whose permissions it takes over."""
    if place.exists():
        shutil.copymode(place, beside)
    if sys.platform == "win32":
        file.close()  # an open file cannot be renamed there
    beside.replace(place)
