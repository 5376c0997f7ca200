"""What is read from the record: who is in it, what each game told of each exercise, the slips, all of it for export."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import date
from typing import Any, NamedTuple

from matebot.practice.names import name_key
from matebot.practice.notes import Exercise, GameNote, Grade, MoveNote, Result
from matebot.practice.record import NoRecord, Record
from matebot.records import dataclass

#: The columns of a move and of a passage besides the game, in the order of `MoveNote` and `Passage`.
MOVE_COLUMNS = (
    *("number", "fen", "move", "ending", "stage", "side", "idea", "slip", "moves_lost", "method_moves", "seconds"),
    *("taken_back", "helped"),
)
PASSAGE_COLUMNS = ("ending", "stage", "side", "moves", "by_method", "moves_lost", "grade")


@dataclass(frozen=True, slots=True)
class Pupil:
    """Somebody in the record."""

    number: int
    name: str
    games: int


class Played(NamedTuple):
    """A game in a line; `number` is its number in the record, without an exercise where it began in none."""

    number: int
    day: date
    exercise: Exercise | None
    result: str
    moves: int


class Review(NamedTuple):  # there are many, and a tuple is made several times as fast as a frozen dataclass
    """What one game told of one exercise; `game` is its number in the record, `result` that of the whole game."""

    pupil: int
    game: int
    day: date
    exercise: Exercise
    result: str
    moves: int
    by_method: int | None
    moves_lost: int | None
    grade: Grade | None


@dataclass(frozen=True, slots=True)
class SlipNote:
    """Slips of one kind that one game showed in one exercise."""

    pupil: int
    game: int
    exercise: Exercise
    slip: str
    times: int


def pupils(record: Record) -> list[Pupil]:
    """Return everybody in the record, in the order of names."""
    query = "SELECT p.id, p.name, count(g.id) FROM pupils p LEFT JOIN games g ON g.pupil = p.id GROUP BY p.id"
    found = record.run(lambda connection: [Pupil(*row) for row in connection.execute(query)])
    return sorted(found, key=lambda pupil: name_key(pupil.name))


def pupil_of(record: Record, name: str) -> Pupil:
    """Return a pupil by name.

    Raises
    ------
    NoRecord
        naming those in the record, where this one is not
    """
    known = pupils(record)
    for pupil in known:
        if name_key(pupil.name) == name_key(name):
            return pupil
    names = ", ".join(pupil.name for pupil in known) or "nobody yet"
    raise NoRecord(f"expected a pupil in the record ({names}), got {name!r}")


def games_of(record: Record, pupil: Pupil) -> list[Played]:
    """Return the games of a pupil in the order in which they were played."""
    query = f"SELECT g.id, g.day, g.ending, g.stage, g.side, g.result, g.moves FROM games g {_only(pupil)}"
    rows = record.run(lambda connection: connection.execute(f"{query} ORDER BY g.day, g.began, g.id").fetchall())
    return [
        Played(number, date.fromisoformat(day), Exercise(ending, stage, side) if ending else None, result, moves)
        for number, day, ending, stage, side, result, moves in rows
    ]


def reviews(record: Record, pupil: Pupil | None = None) -> list[Review]:
    """Return what every game told of every exercise, of one pupil or of all, in the order of days."""
    query = (
        "SELECT g.pupil, g.id, g.day, p.ending, p.stage, p.side, g.result, p.moves, p.by_method, p.moves_lost, p.grade "
        f"FROM games g JOIN passages p ON p.game = g.id {_only(pupil)} ORDER BY g.day, g.began, g.id"
    )
    rows = record.run(lambda connection: connection.execute(query).fetchall())
    grades: dict[int | None, Grade | None] = {None: None, **{int(grade): grade for grade in Grade}}
    days = {text: date.fromisoformat(text) for text in {row[2] for row in rows}}
    exercises = {key: Exercise(*key) for key in {row[3:6] for row in rows}}
    return [
        Review(who, game, days[day], exercises[ending, stage, side], result, moves, by_method, lost, grades[grade])
        for who, game, day, ending, stage, side, result, moves, by_method, lost, grade in rows
    ]


def slips(record: Record, pupil: Pupil | None = None) -> list[SlipNote]:
    """Return the slips of every game, those taken back included."""
    query = (
        "SELECT g.pupil, g.id, m.ending, m.stage, m.side, m.slip, count(*) FROM games g JOIN moves m ON m.game = g.id "
        f"{_only(pupil)} {'AND' if pupil else 'WHERE'} m.slip IS NOT NULL "
        "GROUP BY g.id, m.ending, m.stage, m.side, m.slip"
    )
    rows = record.run(lambda connection: connection.execute(query).fetchall())
    return [
        SlipNote(who, game, Exercise(ending, stage, side), slip, times)
        for who, game, ending, stage, side, slip, times in rows
    ]


def _only(pupil: Pupil | None) -> str:
    return "" if pupil is None else f"WHERE g.pupil = {pupil.number:d}"


_GAMES = (
    "SELECT g.id, g.key, u.name, g.source, g.began, g.day, g.colour, g.fen, g.line, g.result, g.finished, g.hints, "
    "g.takebacks FROM games g JOIN pupils u ON u.id = g.pupil WHERE "
)


def unjudged(record: Record) -> list[GameNote]:
    """Return the games with moves that have not been judged, as a session leaves them; without passages."""
    query = f"{_GAMES} g.id IN (SELECT game FROM moves WHERE ending = '')"
    return record.run(lambda connection: [_game(connection, row) for row in connection.execute(query).fetchall()])


def game_of(connection: sqlite3.Connection, key: str) -> GameNote | None:
    """Return a game without its passages, None where there is none."""
    row = connection.execute(f"{_GAMES} g.key = ?", (key,)).fetchone()
    return None if row is None else _game(connection, row)


def _game(connection: sqlite3.Connection, row: tuple[Any, ...]) -> GameNote:
    key, name, source, began, day, colour, fen, line, result, finished, hints, takebacks = row[1:]
    query = f"SELECT {', '.join(MOVE_COLUMNS)} FROM moves WHERE game = ? ORDER BY number"
    moves = connection.execute(query, row[:1]).fetchall()
    notes, over = tuple(map(_note, moves)), bool(finished)
    return GameNote(key, name, source, began, day, colour, fen, line, Result(result), over, hints, takebacks, notes, ())


def _note(row: tuple[Any, ...]) -> MoveNote:
    number, fen, move, ending, stage, side, idea, slip, lost, method_moves, seconds, taken_back, helped = row
    exercise = Exercise(ending, stage, side)
    return MoveNote(
        number, fen, move, exercise, idea, slip, lost, method_moves, seconds, bool(taken_back), bool(helped)
    )


def everything(record: Record, pupil: Pupil | None = None) -> Iterator[dict[str, object]]:
    """Yield every game with its moves and passages, as plain data with the names of the columns."""

    def work(connection: sqlite3.Connection) -> list[dict[str, object]]:
        own = (
            "g.id, u.name AS pupil, g.key, g.source, g.began, g.day, g.colour, g.fen, g.line, g.ending, g.stage, "
            "g.side, g.result, g.finished, g.hints, g.takebacks, g.moves_lost"
        )
        source = f"FROM games g JOIN pupils u ON u.id = g.pupil {_only(pupil)}"
        games = _rows(connection, f"SELECT {own} {source} ORDER BY g.day, g.began, g.id")
        for row in games:
            number = row.pop("id")
            row["finished"] = bool(row["finished"])
            for table, columns, order in (
                ("moves", MOVE_COLUMNS, "number"),
                ("passages", PASSAGE_COLUMNS, "ending, stage, side"),
            ):
                query = f"SELECT {', '.join(columns)} FROM {table} WHERE game = ? ORDER BY {order}"
                parts = _rows(connection, query, number)
                for part in parts:
                    for flag in ("taken_back", "helped"):
                        if flag in part:
                            part[flag] = bool(part[flag])
                row[table] = parts
        return games

    yield from record.run(work)


def _rows(connection: sqlite3.Connection, query: str, *values: object) -> list[dict[str, object]]:
    cursor = connection.execute(query, values)
    names = [column[0] for column in cursor.description]
    return [dict(zip(names, row, strict=True)) for row in cursor]
