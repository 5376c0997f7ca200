"""Arguments of the commands about pupils, and what these commands share."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from matebot.errors import UserError
from matebot.practice.completing import complete, judge_of
from matebot.practice.record import VARIABLE, Record, record_place
from matebot.wording.practice import clock_behind

if TYPE_CHECKING:
    from matebot.practice.judging import Judge
    from matebot.practice.progress import Progress


def add_pupil(parser: ArgumentParser, text: str) -> None:
    """Add the pupil's name and the place of the record."""
    parser.add_argument("--pupil", metavar="NAME", help=text)
    parser.add_argument(
        "--record",
        type=_file,
        metavar="FILE",
        help=f"the record (default: the file in {VARIABLE}, or one in the platform's place for a user's data)",
    )


def _file(text: str) -> Path:
    if not text:
        raise UserError(f"expected a file after --record, got {text!r}")
    return Path(text)


def open_record(namespace: Namespace) -> Record:
    """Return the record that is there.

    Raises
    ------
    NoRecord
        when there is none or it cannot be used
    """
    record = Record(record_place(namespace.record), warn_plainly, create=False)
    complete(record, _judge)
    return record


def surveyed(namespace: Namespace, day: date) -> list[Progress]:
    """Return the progress of the pupil asked for, or of all; tell where the record is ahead of the clock."""
    from matebot.practice.survey import survey  # not every command about pupils needs the memory model

    record = open_record(namespace)
    found = survey(record, namespace.pupil, day)
    record.close()
    for one in found:
        if one.ahead_of_clock is not None:
            warn_plainly(clock_behind(one.name, one.ahead_of_clock, day))
    return found


def _judge() -> Judge:
    from matebot.solver.store import default_folder  # rarely needed, and it takes the solver with it

    return judge_of(default_folder())


def warn_plainly(text: str) -> None:
    """Print a line on standard error."""
    print(f"matebot: {text}", file=sys.stderr)


def today() -> date:
    """Return the date where the program runs."""
    return date.today()
