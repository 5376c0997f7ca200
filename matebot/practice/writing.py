"""What is written into the record: a game, whole and at once; the removing of one, the forgetting of a pupil."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import astuple, fields

from matebot.practice.names import clean_name, name_key
from matebot.practice.notes import GameNote, MoveNote, Passage
from matebot.practice.reading import MOVE_COLUMNS, PASSAGE_COLUMNS, game_of
from matebot.practice.record import Record

_GAME = (
    "key, pupil, source, began, day, colour, fen, line, ending, stage, side, result, finished, hints, takebacks, "
    "moves, moves_lost"
)


def save_over(record: Record, before: GameNote, game: GameNote) -> bool:
    """Write a game in place of what was read of it, unless that has changed meanwhile; whether it was written."""

    def work(connection: sqlite3.Connection) -> bool:
        same = game_of(connection, game.key) == before
        if same:
            _save(connection, game)
        return same

    return record.run(work)


def save_all(record: Record, games: Iterable[GameNote]) -> None:
    """Write games with their moves, each in place of what was written of it before; all or none.

    Raises
    ------
    NoRecord
        when they cannot be written
    """

    def work(connection: sqlite3.Connection) -> None:
        for game in games:
            _save(connection, game)

    record.run(work)


def has_game(record: Record, key: str) -> bool:
    """Whether a game has been written."""
    return record.run(
        lambda connection: connection.execute("SELECT 1 FROM games WHERE key = ?", (key,)).fetchone() is not None
    )


def forget(record: Record, name: str) -> int | None:
    """Remove a pupil and every game; return how many there were, None for an unknown pupil."""

    def work(connection: sqlite3.Connection) -> int | None:
        found = connection.execute("SELECT id FROM pupils WHERE key = ?", (name_key(name),)).fetchone()
        if found is None:
            return None
        count: int = connection.execute("SELECT count(*) FROM games WHERE pupil = ?", found).fetchone()[0]
        connection.execute("DELETE FROM pupils WHERE id = ?", found)
        return count

    removed = record.run(work)
    if removed is not None:
        record.tidy()
    return removed


def remove(record: Record, number: int) -> bool:
    """Remove one game with its moves by its number in the record; whether there was one."""
    removed = record.run(
        lambda connection: connection.execute("DELETE FROM games WHERE id = ?", (number,)).rowcount > 0
    )
    if removed:
        record.tidy()
    return removed


def _save(connection: sqlite3.Connection, game: GameNote) -> None:
    connection.execute(
        "INSERT INTO pupils (key, name) VALUES (?, ?) ON CONFLICT (key) DO NOTHING",
        (name_key(game.pupil), clean_name(game.pupil)),
    )
    pupil = connection.execute("SELECT id FROM pupils WHERE key = ?", (name_key(game.pupil),)).fetchone()[0]
    began = (None, None, None) if game.exercise is None else astuple(game.exercise)
    values = (
        game.key, pupil, game.source, game.began, game.day, game.colour, game.fen, game.line, *began,
        game.result.value, game.finished, game.hints, game.takebacks, len(game.moves), game.moves_lost,
    )  # fmt: skip
    marks = ", ".join("?" * len(values))
    changes = ", ".join(f"{name} = excluded.{name}" for name in _GAME.split(", ")[1:])
    row = connection.execute(
        f"INSERT INTO games ({_GAME}) VALUES ({marks}) ON CONFLICT (key) DO UPDATE SET {changes} RETURNING id", values
    ).fetchone()[0]
    for table in ("moves", "passages"):
        connection.execute(f"DELETE FROM {table} WHERE game = ?", (row,))
    for table, columns, parts in (
        ("moves", MOVE_COLUMNS, map(_move_values, game.moves)),
        ("passages", PASSAGE_COLUMNS, map(_passage_values, game.passages)),
    ):
        marks = ", ".join("?" * (len(columns) + 1))
        query = f"INSERT INTO {table} (game, {', '.join(columns)}) VALUES ({marks})"
        connection.executemany(query, [(row, *values) for values in parts])


def _move_values(note: MoveNote) -> tuple[object, ...]:
    number, fen, move, exercise, *rest = (getattr(note, field.name) for field in fields(note))
    return number, fen, move, *astuple(exercise), *rest


def _passage_values(part: Passage) -> tuple[object, ...]:
    return *astuple(part.exercise), part.moves, part.by_method, part.moves_lost, part.grade
