"""Files that are written whole or not at all: what stood in their place stays there until the new text is complete.

A fault is told with the name the user gave. Never decides what is written.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, Literal

from matebot.errors import UserError

#: Takes the next bytes of a file.
Write = Callable[[bytes], None]


@contextmanager
def named(path: Path, kind: Literal["read", "written"]) -> Iterator[None]:
    """Tell a fault of the system with the name of the file it befell."""
    try:
        yield
    except OSError as fault:
        raise UserError(f"expected a file that can be {kind} ({fault.strerror}), got {str(path)!r}") from None


def check_place(path: Path | None) -> None:
    """Find out before the work whether a file can stand in a place; None is no file at all.

    Raises
    ------
    UserError
        when it is a folder, or in none
    """
    if path is not None and (path.is_dir() or not path.absolute().parent.is_dir()):
        raise UserError(f"expected a file in a folder that is there, got {str(path)!r}")


@contextmanager
def whole_file(path: Path) -> Iterator[Write]:
    """Give a way to write a file, which is put in its place at the end, unless there was a fault.

    Devices and pipes have nothing to keep and are written to at once.

    Raises
    ------
    UserError
        when the file cannot be written
    """
    with named(path, "written"):
        place = path.resolve()  # a link stays one
        if place.exists():
            place.open("ab").close()  # a folder or a protected file is none to replace
    lasting = place.is_file() or not place.exists()
    beside = place.with_name(f".{place.name}.{os.getpid()}.part") if lasting else place
    with named(path, "written"):
        file = beside.open("wb")
    try:
        yield _writer(file, path)
        with named(path, "written"):
            file.close()
            if lasting:
                _swap(beside, place)
    finally:
        with suppress(OSError):
            file.close()
        if lasting:
            beside.unlink(missing_ok=True)


def write_whole(path: Path, text: str) -> None:
    """Write a text as a whole file.

    Raises
    ------
    UserError
        when the file cannot be written
    """
    with whole_file(path) as write:
        write(text.encode("utf-8"))


def _writer(file: BinaryIO, path: Path) -> Write:
    def write(data: bytes) -> None:
        with named(path, "written"):
            file.write(data)

    return write


def _swap(beside: Path, place: Path) -> None:
    """Put a file in the place of another, whose permissions it takes over."""
    if place.exists():
        shutil.copymode(place, beside)
    beside.replace(place)
