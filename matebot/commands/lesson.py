"""``matebot lesson``: a page with pictures on an ending, to read on a screen or to print on two sides of A4."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from matebot.commands.playing import add_table_folder, library_of
from matebot.errors import UserError
from matebot.lessons.ending import lesson, plan_of
from matebot.lessons.html import page
from matebot.solver.material import Material
from matebot.whole_file import check_place, write_whole

_EXERCISES, _MOST_EXERCISES = 6, 60


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("ending", help="an ending with a ladder, such as KBNK")
    parser.add_argument("--out", type=Path, metavar="FILE.html", help="where to write it (default ENDING.html)")
    parser.add_argument("--ladder", metavar="NAME", help="which ladder of the ending, where it has several")
    parser.add_argument(
        "--exercises", type=_count, default=_EXERCISES, metavar="N", help=f"how many (default {_EXERCISES})"
    )
    parser.add_argument("--seed", type=int, default=1, metavar="S", help="repeats the choice of everything (default 1)")
    parser.add_argument("--mirror", action="store_true", help="turn everything left to right")
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Write the page and say where it is."""
    try:
        ending = Material.parse(namespace.ending).name
    except ValueError as fault:
        raise UserError(str(fault)) from None
    plan = plan_of(ending, namespace.ladder)
    place = namespace.out if namespace.out is not None else Path(f"{ending}.html")
    check_place(place)
    library = library_of(namespace)
    text = page(lesson(library, plan, namespace.exercises, namespace.seed, namespace.mirror))
    write_whole(place, text)
    library.tables.keep()
    if namespace.out is None:
        print(place)
    return 0


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) > _MOST_EXERCISES:
        raise UserError(f"expected a number of exercises from 0 to {_MOST_EXERCISES}, got {text!r}")
    return int(text)
