"""Keeps a pupil's game while it is played; where the record fails, says so once and lets the game go on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from matebot.practice.names import clean_name
from matebot.practice.notebook import Notebook
from matebot.practice.record import NoRecord, Record, record_place
from matebot.practice.writing import save
from matebot.wording.practice import not_kept


class Keeper:
    """Keeps games in the record, for the thread that made it.

    Parameters
    ----------
    pupil : a name
    place : the file asked for, None for the usual one
    tell : takes a line about what went wrong

    Raises
    ------
    UserError
        when that is no name
    """

    def __init__(self, pupil: str, place: Path | None, tell: Callable[[str], None]) -> None:
        self.pupil = clean_name(pupil)
        self._tell = tell
        self.record: Record | None = None
        try:
            self.record = Record(record_place(place), tell)
        except NoRecord as fault:
            tell(not_kept(str(fault)))

    def keep(self, notebook: Notebook) -> None:
        """Write a game as it stands, if the pupil has moved."""
        if self.record is None or not notebook.has_moves:
            return
        try:
            save(self.record, notebook.game())
        except NoRecord as fault:
            self._tell(not_kept(str(fault)))
            self.record = None

    def close(self) -> None:
        """Let go of the record."""
        if self.record is not None:
            self.record.close()
