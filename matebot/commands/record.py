"""``matebot record``: who is in the record, and with which games; write it out, remove a game, forget a pupil."""

from __future__ import annotations

import csv
import io
import json
from argparse import ArgumentParser, Namespace
from pathlib import Path

from matebot.commands.pupils import add_pupil, open_record
from matebot.errors import UserError
from matebot.practice.reading import Played, Pupil, everything, games_of, pupil_of, pupils
from matebot.practice.record import STEPS, Record
from matebot.practice.writing import forget, remove
from matebot.whole_file import check_place, write_whole
from matebot.wording import practice as words


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_pupil(parser, "whose games are listed, removed or written out")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--export", type=Path, metavar="FILE.json|FILE.csv", help="write every game, or every move")
    what.add_argument("--games", action="store_true", help="list a pupil's games with their numbers")
    what.add_argument("--remove", type=int, metavar="NUMBER", help="remove one game of a pupil, for good")
    what.add_argument("--forget", metavar="NAME", help="remove a pupil with all games, for good")


def run(namespace: Namespace) -> int:
    """Show, write out, remove, or forget."""
    export: Path | None = namespace.export
    if (namespace.games or namespace.remove is not None) and namespace.pupil is None:
        raise UserError(f"expected --pupil NAME beside {'--games' if namespace.games else '--remove'}")
    if export is not None:
        if export.suffix.lower() not in (".json", ".csv"):
            raise UserError(f"expected a file that ends in .json or .csv, got {str(export)!r}")
        check_place(export)
    record = open_record(namespace)
    if namespace.forget is not None:
        name = pupil_of(record, namespace.forget).name
        print(words.forgotten(name, forget(record, name) or 0))
    elif namespace.remove is not None:
        print(_remove(record, pupil_of(record, namespace.pupil), namespace.remove))
    elif namespace.games:
        print("\n".join(map(_line, games_of(record, pupil_of(record, namespace.pupil)))) or words.NOTHING_YET)
    elif export is not None:
        write_whole(export, _written(record, export, namespace.pupil))
    else:
        print(record.path)
        lines = [words.record_line(pupil.name, pupil.games) for pupil in pupils(record)]
        print("\n".join(lines) or words.NOTHING_YET)
    record.close()
    return 0


def _line(game: Played) -> str:
    what = game.exercise
    named = words.OTHER_POSITION if what is None else words.exercise_name(what.ending, what.stage, what.side)
    return words.game_line(game.number, game.day, named, game.result, game.moves)


def _remove(record: Record, pupil: Pupil, number: int) -> str:
    numbers = sorted(game.number for game in games_of(record, pupil))
    if number not in numbers:
        raise UserError(f"{words.no_game(numbers, pupil.name)}, got {number}")
    remove(record, number)
    return words.removed(number, pupil.name)


def _written(record: Record, export: Path, name: str | None) -> str:
    games = list(everything(record, None if name is None else pupil_of(record, name)))
    if export.suffix.lower() == ".json":
        return json.dumps({"version": len(STEPS), "games": games}, indent=1, ensure_ascii=False) + "\n"
    return _as_csv(games)


def _as_csv(games: list[dict[str, object]]) -> str:
    """Return one line a move, with what is known of its game in front."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    head = False
    for game in games:
        moves = game.pop("moves")
        game.pop("passages")
        assert isinstance(moves, list)
        for move in moves:
            row = {**{f"game_{name}": value for name, value in game.items()}, **move}
            if not head:
                writer.writerow(row)
                head = True
            writer.writerow(row.values())
    return text.getvalue()
