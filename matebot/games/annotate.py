"""Annotates a PGN file game by game: read, looked over, remarks woven in; one game in memory at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from matebot.games.game_texts import game_texts
from matebot.games.movetext import read_game
from matebot.games.review import Reviewer
from matebot.games.weave import woven
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Annotated:
    """One game.

    Attributes
    ----------
    number : its number in the file, 1 the first
    name : players and event
    text : the game with its annotations; the game as it was where there is nothing to remark
    faults : what could not be read
    readable : whether there was anything of a game: tags, or a move
    """

    number: int
    name: str
    text: str
    faults: tuple[str, ...]
    readable: bool


def annotated(lines: Iterable[bytes], reviewer: Reviewer) -> Iterator[Annotated]:
    """Yield every game of a PGN file with its annotations; joined, the texts are the new file."""
    for number, text in enumerate(game_texts(lines), start=1):
        reading = read_game(text)
        new = text
        if reading.start is not None and reading.written:
            remarks = reviewer.remarks(reading.start, [written.move for written in reading.written])
            new = woven(text, reading, remarks) if remarks else text
        yield Annotated(number, reading.name, new, tuple(reading.faults), bool(reading.tags or reading.written))
