"""Keeps a pupil's game while it is played; where the record fails, says so once and lets the game go on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from matebot.practice.names import clean_name
from matebot.practice.notebook import Notebook
from matebot.practice.notes import GameNote
from matebot.practice.record import NoRecord, Record, record_place
from matebot.practice.writing import save_all
from matebot.wording.practice import not_kept


class GameKeeper:
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
        if notebook.has_moves:
            self.keep_all([notebook.game()])

    def keep_all(self, games: Sequence[GameNote]) -> int:
        """Write games, all or none; return how many."""
        if self.record is None:
            return 0
        try:
            save_all(self.record, games)
        except NoRecord as fault:
            self._tell(not_kept(str(fault)))
            self.record = None
            return 0
        return len(games)

    def close(self) -> None:
        """Let go of the record."""
        if self.record is not None:
            self.record.close()
