"""The record: one SQLite file, opened, brought up to date, and set aside where it cannot be used.

Several processes may write at once: write-ahead logging, and each waits for the others. Nothing is ever written over:
a record that is damaged or that a newer program wrote is renamed, and a new one begun; what was never a record is left
alone and refused. What is read and written is decided in `writing` and `reading`.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from matebot.errors import UserError

VARIABLE = "MATEBOT_RECORD"
#: Marks a SQLite file as a record of ours: the letters "mate".
APPLICATION = 0x6D617465
#: A file of SQLite begins with these bytes (its published file format, 1.3.1).
_DATABASE = b"SQLite format 3\0"
_PATIENCE_SECONDS = 30.0
_DAMAGE = frozenset({sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})

#: Men on both sides alike: neither side is the stronger one.
_EQUAL = "'KQKQ', 'KRKR', 'KBKB', 'KNKN', 'KPKP'"
#: Kinds of slips that had another name: the side, the old name, the new one, and where it holds.
_RENAMED = (
    ("defence", "slow", "mated sooner", "1"),
    ("defence", "lost", "draw missed", f"ending NOT IN ({_EQUAL})"),
    ("defence", "man and outcome lost", "draw missed", f"ending NOT IN ({_EQUAL})"),
)


def _allowing_unknown(table: str) -> tuple[str, ...]:
    """Return what makes moves lost in a table a number that may be unknown; what was unknown before stood as 0."""
    return (
        f"ALTER TABLE {table} ADD COLUMN lost INTEGER",
        f"UPDATE {table} SET lost = moves_lost",
        f"ALTER TABLE {table} DROP COLUMN moves_lost",
        f"ALTER TABLE {table} RENAME COLUMN lost TO moves_lost",
    )


def _renamed() -> tuple[str, ...]:
    """Return what gives slips their present names, and takes back what was said of moves not judged."""
    return (
        *(
            f"UPDATE moves SET slip = '{new}' WHERE side = '{side}' AND slip = '{old}' AND {where}"
            for side, old, new, where in _RENAMED
        ),
        "UPDATE moves SET moves_lost = NULL WHERE ending = ''",
        "UPDATE games SET moves_lost = NULL WHERE id IN (SELECT game FROM moves WHERE ending = '' AND NOT taken_back)",
    )


#: Each step brings the schema from one version to the next; steps are added at the end and never changed.
STEPS: tuple[tuple[str, ...], ...] = (
    (
        "CREATE TABLE pupils (id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, name TEXT NOT NULL) STRICT",
        """CREATE TABLE games (
            id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE,
            pupil INTEGER NOT NULL REFERENCES pupils ON DELETE CASCADE,
            source TEXT NOT NULL, began TEXT NOT NULL, day TEXT NOT NULL, colour TEXT NOT NULL, fen TEXT NOT NULL,
            line TEXT NOT NULL, ending TEXT, stage INTEGER, side TEXT, result TEXT NOT NULL, finished INTEGER NOT NULL,
            hints INTEGER NOT NULL, takebacks INTEGER NOT NULL, moves INTEGER NOT NULL, moves_lost INTEGER NOT NULL
        ) STRICT""",
        """CREATE TABLE moves (
            game INTEGER NOT NULL REFERENCES games ON DELETE CASCADE, number INTEGER NOT NULL,
            fen TEXT NOT NULL, move TEXT NOT NULL, ending TEXT NOT NULL, stage INTEGER NOT NULL, side TEXT NOT NULL,
            idea TEXT, slip TEXT, moves_lost INTEGER NOT NULL, method_moves INTEGER, seconds REAL,
            taken_back INTEGER NOT NULL, helped INTEGER NOT NULL, PRIMARY KEY (game, number)
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE passages (
            game INTEGER NOT NULL REFERENCES games ON DELETE CASCADE,
            ending TEXT NOT NULL, stage INTEGER NOT NULL, side TEXT NOT NULL,
            moves INTEGER NOT NULL, by_method INTEGER, moves_lost INTEGER NOT NULL, grade INTEGER,
            PRIMARY KEY (game, ending, stage, side)
        ) STRICT, WITHOUT ROWID""",
    ),
    (
        "CREATE INDEX games_of_pupil ON games (pupil, day)",
        "CREATE INDEX slips ON moves (game, ending, stage, side, slip) WHERE slip IS NOT NULL",
    ),
    ("CREATE INDEX unjudged ON moves (game) WHERE ending = ''",),
    (*(statement for table in ("games", "moves", "passages") for statement in _allowing_unknown(table)), *_renamed()),
)

Work = TypeVar("Work")
Tell = Callable[[str], None]


class NoRecord(UserError):
    """The record cannot be used; play may go on without it."""


class _Unusable(Exception):
    """A file that is to be set aside: `kind` goes into its new name, the text tells why."""

    def __init__(self, kind: str, why: str) -> None:
        super().__init__(why)
        self.kind = kind


def record_place(asked: Path | None = None) -> Path:
    """Return where the record is: asked for, in the environment, or in the platform's place for a user's data."""
    named = asked or (Path(os.environ[VARIABLE]) if os.environ.get(VARIABLE) else None)
    if named is not None:
        return named.expanduser()
    import platformdirs

    return Path(platformdirs.user_data_dir("matebot", appauthor=False)) / "record.sqlite"


class Record:
    """An open record, for the thread that opened it.

    Parameters
    ----------
    path : the file; made where there is none, with its folder
    tell : takes a line about a file that was set aside
    create : whether to make a file where there is none

    Raises
    ------
    NoRecord
        when it cannot be opened; the text is one clear line
    """

    def __init__(self, path: Path, tell: Tell, create: bool = True, steps: tuple[tuple[str, ...], ...] = STEPS) -> None:
        self.path = path
        self._tell = tell
        self._steps = steps
        if not create and not path.exists():
            raise NoRecord(f"expected a record, got none in {str(path)!r}")
        self._file: tuple[int, int] | None = None
        self._connection = self._connected()

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def __del__(self) -> None:
        """Let go of the file where nobody has said so: from Python 3.13 on a warning is given otherwise."""
        with suppress(AttributeError, sqlite3.Error):  # it may never have been opened, or by another thread
            self._connection.close()

    def run(self, work: Callable[[sqlite3.Connection], Work]) -> Work:
        """Do something in one transaction; where the file turns out to be damaged, once more with a new one.

        Raises
        ------
        NoRecord
            when it cannot be done
        """
        try:
            if self._file != _identity(self.path):  # set aside by another process, or taken away
                self._connection.close()
                self._connection = self._connected()
            try:
                return self._transaction(work)
            except sqlite3.DatabaseError as fault:
                if not _is_damage(fault):
                    raise
                self._connection.close()
                self._set_aside(_Unusable("damaged", f"{fault}"))
                self._connection = self._connected()
                return self._transaction(work)
        except (sqlite3.Error, OSError) as fault:
            raise self._trouble(fault) from None

    def tidy(self) -> None:
        """Write the file anew, so that nothing removed can be read in it."""
        try:
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            self._connection.execute("VACUUM")
            self._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        except sqlite3.Error as fault:
            raise self._trouble(fault) from None

    def _transaction(self, work: Callable[[sqlite3.Connection], Work]) -> Work:
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            done = work(self._connection)
            self._connection.execute("COMMIT")
        except BaseException:
            if self._connection.in_transaction:
                with suppress(sqlite3.Error):
                    self._connection.execute("ROLLBACK")
            raise
        return done

    def _connected(self) -> sqlite3.Connection:
        """Open the file, and set it aside first where it is of no use."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            for _ in range(3):
                try:
                    return self._opened()
                except _Unusable as fault:
                    self._set_aside(fault)
            return self._opened()
        except (sqlite3.Error, OSError, ValueError, _Unusable) as fault:
            raise self._trouble(fault) from None

    def _opened(self) -> sqlite3.Connection:
        connection = _opened(self.path, self._steps)
        self._file = _identity(self.path)
        return connection

    def _trouble(self, fault: Exception) -> NoRecord:
        return NoRecord(f"expected a record that can be read and written ({fault}), got {str(self.path)!r}")

    def _set_aside(self, fault: _Unusable) -> None:
        """Rename the file and what belongs to it, unless another process has done so meanwhile."""
        beside = self.path.with_name(f"{self.path.name}.turn")
        with closing(sqlite3.connect(beside, timeout=_PATIENCE_SECONDS, isolation_level=None)) as turn:
            turn.execute("BEGIN EXCLUSIVE")  # one process at a time; let go of even by a process that dies
            if fault.kind != "damaged" or not self._is_sound():
                place = _free_name(self.path, fault.kind)
                for ending in ("", "-wal", "-shm"):
                    with suppress(FileNotFoundError):
                        self.path.with_name(self.path.name + ending).rename(place.with_name(place.name + ending))
                self._tell(
                    f"expected a record this program can read ({fault}), got {str(self.path)!r}: "
                    f"set aside as {place.name!r}, a new one is begun"
                )
        # The file that gave the turn may stay: it is empty, and removing it could take another's turn away.

    def _is_sound(self) -> bool:
        """Whether all of the file can be read, looked at in full since it is about to be put away."""
        try:
            with closing(sqlite3.connect(self.path, timeout=_PATIENCE_SECONDS)) as connection:
                return bool(connection.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok")
        except sqlite3.Error:
            return False


def _identity(path: Path) -> tuple[int, int] | None:
    """Return what tells a file from another one of the same name, None where there is none."""
    try:
        stat = path.stat()
    except OSError:
        return None
    return stat.st_dev, stat.st_ino


def _opened(path: Path, steps: tuple[tuple[str, ...], ...]) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=_PATIENCE_SECONDS, isolation_level=None)
    try:
        _check(connection, path, len(steps))
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA secure_delete = ON")
        _migrate(connection, steps)
    except BaseException as fault:
        connection.close()
        if isinstance(fault, sqlite3.DatabaseError) and _is_damage(fault):
            if not _was_database(path):
                raise ValueError("it holds something else") from None
            raise _Unusable("damaged", str(fault)) from None
        raise
    return connection


def _was_database(path: Path) -> bool:
    """Whether a file that is none any more once was a database: its first page is one's, or has been wiped."""
    with path.open("rb") as file:
        head = file.read(len(_DATABASE))
    return head in (_DATABASE, bytes(len(head)))


def _check(connection: sqlite3.Connection, path: Path, newest: int) -> None:
    """Find out whether a file is a record, and of which version."""
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if tables and owner != APPLICATION:
        raise ValueError("it belongs to another program")
    if version > newest:
        raise _Unusable("newer", f"of version {newest} or older; this one has version {version}")


def _migrate(connection: sqlite3.Connection, steps: tuple[tuple[str, ...], ...]) -> None:
    """Bring an older schema up to date, all of it or nothing."""
    if connection.execute("PRAGMA user_version").fetchone()[0] == len(steps):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = connection.execute("PRAGMA user_version").fetchone()[0]  # another process may have been first
        for step in steps[version:]:
            for statement in step:
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        connection.execute(f"PRAGMA user_version = {max(version, len(steps))}")
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise


def _is_damage(fault: sqlite3.DatabaseError) -> bool:
    return getattr(fault, "sqlite_errorcode", 0) & 0xFF in _DAMAGE


def _free_name(path: Path, kind: str) -> Path:
    """Return a name beside a file that nothing has."""
    stamp = datetime.now().strftime("%Y%m%d-%H%M%S")
    number = 1
    while True:
        suffix = "" if number == 1 else f"-{number}"
        place = path.with_name(f"{path.stem}.{kind}-{stamp}{suffix}{path.suffix}")
        if not place.exists():
            return place
        number += 1
