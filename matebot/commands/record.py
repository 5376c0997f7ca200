"""``matebot record``: who is in the record; write it out, forget a pupil."""

from __future__ import annotations

import csv
import io
import json
from argparse import ArgumentParser, Namespace
from pathlib import Path

from matebot.commands.pupils import add_pupil, open_record
from matebot.errors import UserError
from matebot.practice.reading import everything, pupil_of, pupils
from matebot.practice.record import STEPS, Record
from matebot.practice.writing import forget
from matebot.whole_file import check_place, write_whole
from matebot.wording import practice as words


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_pupil(parser, "write out only this pupil's games")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--export", type=Path, metavar="FILE.json|FILE.csv", help="write every game, or every move")
    what.add_argument("--forget", metavar="NAME", help="remove a pupil with all games, for good")


def run(namespace: Namespace) -> int:
    """Show, write out, or forget."""
    export: Path | None = namespace.export
    if export is not None:
        if export.suffix.lower() not in (".json", ".csv"):
            raise UserError(f"expected a file that ends in .json or .csv, got {str(export)!r}")
        check_place(export)
    record = open_record(namespace)
    if namespace.forget is not None:
        name = pupil_of(record, namespace.forget).name
        print(words.forgotten(name, forget(record, name) or 0))
    elif export is not None:
        write_whole(export, _written(record, export, namespace.pupil))
    else:
        print(record.path)
        lines = [words.record_line(pupil.name, pupil.games) for pupil in pupils(record)]
        print("\n".join(lines) or words.NOTHING_YET)
    record.close()
    return 0


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
