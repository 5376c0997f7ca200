"""The folder of solved endings: where it is, whether it can be used, and its files; see `table_file` for one file."""

from __future__ import annotations

import errno
import os
import re
import stat
import sys
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from matebot.solver.material import COVERED, FIVE_MEN, Material
from matebot.solver.sources import Damaged, File, Memory
from matebot.solver.table_file import Both, Interrupted, Kept, packed

__all__ = ["Damaged", "Folder", "Interrupted", "default_folder", "folder_fault", "path_of", "read_folder", "write"]

#: What a writer left behind is removed after so long where it is certain that the writer is no more, or in any case.
_ABANDONED_SECONDS, _STALE_SECONDS = 60.0, 3600.0
#: Names of files that are being written.
_PART = re.compile(rf"\.(?:{'|'.join(material.name for material in COVERED + FIVE_MEN)})\.ending\.\d+\.\d+\.part")
#: By platform: the variable that names the place for caches, and where it is below the user's home without one.
_CACHES = {
    "win32": ("LOCALAPPDATA", "AppData", "Local"),
    "darwin": ("", "Library", "Caches"),
    "linux": ("XDG_CACHE_HOME", ".cache"),
}


def default_folder() -> Path | None:
    """Return the folder for tables: ``MATEBOT_TABLES`` if set, else in the platform's place for caches.

    None where there is no such place: for a user without a home.
    """
    named = os.environ.get("MATEBOT_TABLES")
    return Path(named) if named else _platform_folder()


def _platform_folder() -> Path | None:
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


def folder_fault(folder: Path) -> str | None:
    """Return in a sentence why solved endings cannot be kept in a folder, None where they can; makes nothing.

    A folder that is not there yet is in order if only the last part of its path has to be made. The platform's place
    for caches may have to be made too.
    """
    try:
        folder_there, parent_there = _is_folder(folder), _is_folder(folder.parent)
    except (OSError, ValueError) as fault:  # a name that no file can have is a ValueError
        return _unusable(folder, "read or kept", _why(fault))
    if folder_there is False:
        return _unusable(folder, "read or kept", "it is no folder")
    if folder_there is None and not parent_there and not _makes_parents(folder):
        return _unusable(folder, "read or kept", f"there is no folder {str(folder.parent)!r}")
    if folder_there and not os.access(folder, os.R_OK | os.X_OK):
        return _unusable(folder, "read or kept", os.strerror(errno.EACCES))
    if not os.access(_nearest(folder), os.W_OK | os.X_OK):
        return _unusable(folder, "kept", os.strerror(errno.EACCES))
    return None


def _is_folder(path: Path) -> bool | None:
    """Whether a path is a folder, None where nothing is there."""
    try:
        return stat.S_ISDIR(path.stat().st_mode)
    except FileNotFoundError:
        return False if path.is_symlink() else None


def _can_be_read(folder: Path) -> bool:
    with suppress(OSError, ValueError):
        return folder.is_dir() and os.access(folder, os.R_OK | os.X_OK)
    return False


def _nearest(folder: Path) -> Path:
    """Return the folder itself or the nearest above it that is there."""
    return next((path for path in (folder, *folder.parents) if path.is_dir()), folder)


def _makes_parents(folder: Path) -> bool:
    return folder == _platform_folder()


def _unusable(folder: Path, verb: str, why: str) -> str:
    return f"solved endings cannot be {verb} in {str(folder)!r} ({why}), only in memory"


def _why(fault: OSError | ValueError) -> str:
    return getattr(fault, "strerror", None) or str(fault)


def path_of(folder: Path, material: Material) -> Path:
    """Return where an ending is kept."""
    return folder / f"{material.name}.ending"


def write(folder: Path, material: Material, metrics: Iterable[Both], interrupted: Callable[[], bool]) -> None:
    """Keep the codes of an ending, one or two metrics in the reduced layout.

    Raises
    ------
    OSError
        when the folder cannot be made or written, and when something other than a file has the ending's name
    Interrupted
        see `table_file.packed`
    """
    _put(folder, material, packed(material, metrics, interrupted))


def _put(folder: Path, material: Material, pieces: list[bytes]) -> None:
    """Write a file whole or not at all."""
    folder.mkdir(parents=_makes_parents(folder), exist_ok=True)
    path = path_of(folder, material)
    part = path.with_name(f".{path.name}.{os.getpid()}.{time.monotonic_ns()}.part")
    try:
        with part.open("wb") as file:
            _lock(file.fileno())
            file.writelines(pieces)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


if sys.platform == "win32":

    def _lock(descriptor: int) -> bool:
        return False  # an open file cannot be removed there

else:
    import fcntl

    def _lock(descriptor: int) -> bool:
        """Lock a file for as long as it is open; False where another writer has or where files cannot be locked."""
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


class Folder:
    """The folder of table files as one process uses it: a fault is told in one line and never raised.

    Parameters
    ----------
    path : need not exist before something is kept
    notice : receives a line for each file that has to be rebuilt, one if the folder cannot be used, one if it is made
    """

    def __init__(self, path: Path, notice: Callable[[str], None]) -> None:
        self.path = path
        self._notice = notice
        self._looked = False
        self._readable = self._writable = True

    def remark(self) -> str | None:
        """Return what is to be told of the folder: why it cannot be used, or that it is yet to be made.

        What has been returned once is not told in a notice.
        """
        self._looked = True
        fault = folder_fault(self.path)
        if fault is not None:
            self._writable, self._readable = False, _can_be_read(self.path)
            return fault
        _sweep(self.path)
        if not self.path.exists() and not _makes_parents(self.path):
            return f"the folder {str(self.path)!r} is not there yet: it will be made to keep solved endings in"
        return None

    def read(self, material: Material) -> Kept | None:
        """Return an ending's file, None where it is not kept or not sound."""
        if not self._looked:
            self._look()
        if not self._readable:
            return None
        try:
            return Kept(material, File(path_of(self.path, material)))
        except (FileNotFoundError, NotADirectoryError):
            return None
        except OSError as fault:
            self.tell_damaged(material, Damaged(f"cannot be read ({_why(fault)})"))
        except Damaged as fault:
            self.tell_damaged(material, fault)
        return None

    def keep(self, material: Material, metrics: Iterable[Both], interrupted: Callable[[], bool]) -> Kept:
        """Keep an ending and return it, packed in memory where it cannot be on disk; see `write` for the parameters.

        Raises
        ------
        Interrupted
            when the caller asked for it
        """
        pieces = packed(material, metrics, interrupted)
        if interrupted():
            raise Interrupted
        on_disk = self._put(material, pieces)
        return on_disk or Kept(material, Memory(pieces))

    def _put(self, material: Material, pieces: list[bytes]) -> Kept | None:
        if not self._looked:
            self._look()
        if not self._writable or self._is_taken(material):
            return None
        try:
            _put(self.path, material, pieces)
        except OSError as fault:
            self._writable = False
            self._notice(_unusable(self.path, "kept", _why(fault)))
            return None
        return self.read(material)

    def _is_taken(self, material: Material) -> bool:
        """Whether something has an ending's name that is no file and not ours to replace; reading has told of it."""
        with suppress(OSError):
            return not stat.S_ISREG(path_of(self.path, material).stat().st_mode)
        return False

    def tell_damaged(self, material: Material, fault: Damaged) -> None:
        """Tell that an ending's file has to be rebuilt, and why."""
        self._notice(f"the table file of {material.name} {fault}: solving the ending again")

    def _look(self) -> None:
        """See whether the folder can be used, and remove what writers that were killed have left there."""
        remark = self.remark()
        if remark is not None:
            self._notice(remark)


def _sweep(folder: Path) -> None:
    """Remove files half written whose writers are no more; nothing else is touched."""
    with suppress(OSError):
        for path in folder.iterdir():
            if _PART.fullmatch(path.name):
                _sweep_part(path)


def _sweep_part(part: Path) -> None:
    with suppress(OSError):
        status = part.lstat()
        age_seconds = time.time() - status.st_mtime
        if not stat.S_ISREG(status.st_mode) or age_seconds < _ABANDONED_SECONDS:
            return
        with part.open("rb") as file:
            abandoned = _lock(file.fileno())
        if abandoned or age_seconds > _STALE_SECONDS:
            part.unlink()
