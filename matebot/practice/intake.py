"""Takes finished games into the record, each once and all in one act. Never changes a game."""

from __future__ import annotations

import re
from collections import Counter
from datetime import UTC, date, datetime, time
from hashlib import sha256

import chess

from matebot.errors import UserError
from matebot.games.movetext import Reading, read_game
from matebot.practice.judging import Judge
from matebot.practice.keeping import GameKeeper
from matebot.practice.names import name_key
from matebot.practice.notebook import Notebook
from matebot.practice.notes import GameNote, Result
from matebot.practice.writing import has_game

_MEN = 4
_DATE = re.compile(r"(\d{4})\.(\d{2})\.(\d{2})", re.ASCII)
_RESULTS = {"1-0": chess.WHITE, "0-1": chess.BLACK}
_SIDES = ((chess.WHITE, "White"), (chess.BLACK, "Black"))


class Intake:
    """Takes games of one pupil.

    Parameters
    ----------
    player : the pupil's name in the tags of the games
    side : the pupil's side where the tags do not tell; None to leave such games out

    Attributes
    ----------
    counts : how many games were "kept", "known" already, without a covered move of the pupil ("empty"), or "other"
        people's
    others : names in the tags of other people's games
    """

    def __init__(self, keeper: GameKeeper, judge: Judge, player: str, side: chess.Color | None) -> None:
        self.keeper, self.judge = keeper, judge
        self._player, self._side = _keys_of(player), side
        self.counts: Counter[str] = Counter()
        self.others: set[str] = set()
        self._games: dict[str, GameNote] = {}

    def take(self, text: str, today: date) -> None:
        """Take one game, the text of which is given; nothing is written yet."""
        found = self._take(read_game(text), today)
        if found is not None:
            self.counts[found] += 1

    def keep(self) -> None:
        """Write all that was taken."""
        self.counts["kept"] += self.keeper.keep_all(list(self._games.values()))
        self._games.clear()

    def _take(self, reading: Reading, today: date) -> str | None:
        """Take a game, or return why it is left out."""
        colour = self._colour(reading.tags)
        if reading.start is None or colour is None:
            self.others |= {name for _, tag in _SIDES if _keys_of(name := reading.tags.get(tag, "?")) and name != "?"}
            return "other"
        record = self.keeper.record
        key = self._key(reading, colour)
        if record is None:
            return None
        if key in self._games or has_game(record, key):
            return "known"
        notebook = self._notebook(reading, colour, key, today)
        if notebook is None:
            return "empty"
        notebook.judge(self.judge)
        if not notebook.notes():
            return "empty"
        self._games[key] = notebook.game()
        return None

    def _colour(self, tags: dict[str, str]) -> chess.Color | None:
        """Return the pupil's side by the tags, else the one asked for."""
        fitting = [colour for colour, tag in _SIDES if _keys_of(tags.get(tag, "")) & self._player]
        return fitting[0] if len(fitting) == 1 else self._side

    def _key(self, reading: Reading, colour: chess.Color) -> str:
        """Return what is the same for the same game of the same pupil, however it is annotated."""
        assert reading.start is not None
        moves = " ".join(written.move.uci() for written in reading.written)
        tags = [reading.tags.get(name, "") for name in ("White", "Black", "Event", "Site", "Date", "Round")]
        parts = [name_key(self.keeper.pupil), str(colour), reading.start.fen(), moves, *tags]
        return sha256("\n".join(parts).encode("utf-8", "surrogateescape")).hexdigest()

    def _notebook(self, reading: Reading, colour: chess.Color, key: str, today: date) -> Notebook | None:
        assert reading.start is not None
        board, notebook = reading.start.copy(), None
        day = _day(reading.tags.get("Date", "")) or today
        for written in reading.written:
            if not written.move:
                break  # a null move is none of the game's
            if notebook is None and chess.popcount(board.occupied) <= _MEN and self.judge.covers(board):
                began = datetime.combine(day, time(12), UTC)
                notebook = Notebook(self.keeper.pupil, "file", board, colour, key, began, day.isoformat())
            if notebook is not None:
                notebook.play(written.move)
            board.push(written.move)
        if notebook is not None:
            notebook.declared = _declared(reading.tags.get("Result", "*"), colour)
            notebook.closed = True
        return notebook


def _keys_of(name: str) -> frozenset[str]:
    """Return what spellings of a name have in common, nothing for what is no name.

    A tag has the family name first and a comma behind it (PGN standard, section 8.1.1.4); people may write either.
    """
    family, comma, given = name.partition(",")
    try:
        return frozenset(map(name_key, [name, f"{given} {family}"] if comma and given.strip() else [name]))
    except UserError:
        return frozenset()


def _day(text: str) -> date | None:
    """Return the day of a tag, None where it is not fully known."""
    found = _DATE.fullmatch(text.strip())
    try:
        return None if found is None else date(*map(int, found.groups()))
    except ValueError:
        return None


def _declared(result: str, colour: chess.Color) -> Result | None:
    """Return how a game ended by its tag: lost before mate is resigned, won before mate shows nothing."""
    if result == "1/2-1/2":
        return Result.DRAWN
    if result in _RESULTS and _RESULTS[result] != colour:
        return Result.RESIGNED
    return None
