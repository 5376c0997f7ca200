"""``matebot due``: what to practise today, hardest kinds of slips first, with positions for any interface."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace
from datetime import date
from pathlib import Path
from zlib import crc32

from matebot.commands.pupils import add_pupil, surveyed, today
from matebot.errors import UserError
from matebot.practice.course import name_of
from matebot.practice.due import ExerciseStanding
from matebot.practice.names import name_key
from matebot.practice.progress import Progress
from matebot.practice.survey import due_data
from matebot.wording import practice as words

_FORMATS = ("text", "epd", "pgn", "json")


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_pupil(parser, "one pupil (default: all)")
    parser.add_argument(
        "--format", choices=_FORMATS, default="text", help="a list, or a position of each exercise (default text)"
    )
    parser.add_argument("--table-folder", type=_folder, metavar="DIR", help="where solved endings are kept")


def _folder(text: str) -> Path:
    from matebot.solver.store import read_folder  # only positions need it, and a list should be there at once

    if not text:
        raise UserError(f"expected a folder after --table-folder, got {text!r}")
    return read_folder(text)


def run(namespace: Namespace) -> int:
    """List what is due."""
    day = today()
    found = surveyed(namespace, day)
    if namespace.format == "text":
        print("\n".join(line for one in found for line in _text(one, day)) or words.NOTHING_YET)
    else:
        _positions(namespace, found, day)
    return 0


def _text(one: Progress, day: date) -> list[str]:
    if not one.due:
        new = None if one.new is None else name_of(one.new)
        soonest = None if one.soonest is None else (name_of(one.soonest.exercise), one.soonest.due(day))
        return [f"{one.name}: {words.nothing_due(new, soonest, day)}"]
    lines = [words.due_heading(one.name, len(one.due))]
    for number, standing in enumerate(one.due, start=1):
        reason = words.reason_due((day - standing.due(day)).days, standing.slips)
        lines.append(words.due_line(number, name_of(standing.exercise), reason))
    return lines


def _positions(namespace: Namespace, found: list[Progress], day: date) -> None:
    """Print a position of each exercise that is due; the same ones all day."""
    from matebot.commands.playing import library_of
    from matebot.games.position_text import FORMATS
    from matebot.practice.choosing import Choice, position_for

    library, data = library_of(namespace), []
    for one in found:
        if not one.due and namespace.format != "json":
            print(_text(one, day)[0], file=sys.stderr)
        for standing in one.due:
            stage = str(standing.exercise.stage) if standing.exercise.stage else None
            choice = Choice(standing.exercise, stage, "")
            position = position_for(library, choice, _seed(one.name, standing, day))
            if namespace.format == "json":
                data.append({"pupil": one.name, **due_data(standing, day), "fen": position.board.fen()})
                continue
            name = f"{one.name}: {name_of(standing.exercise)}"
            print(FORMATS[namespace.format](position, name.replace('"', "'"), library.tables))
    if namespace.format == "json":
        print(json.dumps(data, indent=2, ensure_ascii=False))
    library.tables.keep()


def _seed(name: str, standing: ExerciseStanding, day: date) -> int:
    """Return a number that is the same for a pupil, an exercise and a day."""
    exercise = standing.exercise
    return crc32(f"{name_key(name)} {exercise.ending} {exercise.stage} {exercise.side} {day}".encode()) >> 1
