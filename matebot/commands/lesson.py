"""``matebot lesson``: a page with pictures on an ending, or of one's own lesson, for a screen or two sides of A4."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from matebot.commands.playing import add_table_folder, ask_for, library_of
from matebot.errors import UserError
from matebot.lessons.coach import coach_sheet
from matebot.lessons.coach_pgn import read_lesson
from matebot.lessons.ending import lesson
from matebot.lessons.html import page
from matebot.lessons.lesson_plans import LessonPlan, changed, plan_for, read_plan
from matebot.method.library import Library
from matebot.solver.material import Material
from matebot.whole_file import check_place, write_whole


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    parser.add_argument("ending", nargs="?", help="an ending with a ladder, such as KBNK")
    parser.add_argument("--plan", metavar="NAME|FILE", help="a plan of a lesson; what is given beside it counts more")
    parser.add_argument("--pgn", type=Path, metavar="FILE.pgn", help="your own lesson: games with variations, remarks")
    parser.add_argument("--out", type=Path, metavar="FILE.html", help="where to write it (default ENDING.html)")
    parser.add_argument("--ladder", metavar="NAME", help="which ladder of the ending, where it has several")
    parser.add_argument("--exercises", metavar="N", help=f"how many (default {LessonPlan.exercises})")
    parser.add_argument("--seed", metavar="S", help=f"repeats the choice of everything (default {LessonPlan.seed})")
    parser.add_argument("--mirror", action="store_true", default=None, help="turn everything left to right")
    parser.epilog = (
        "In a PGN the glyph $0 or a remark of the one word picture asks for a picture. What remarks say of outcome, "
        "moves to mate and only moves is checked, and what does not hold is told beside it."
    )
    add_table_folder(parser)


def run(namespace: Namespace) -> int:
    """Write the page; say where it is unless that was given, and of one's own lesson how many claims do not hold."""
    return _own(namespace) if namespace.pgn is not None else _of_ending(namespace)


def _own(namespace: Namespace) -> int:
    others = ("ending", "plan", "ladder", "exercises", "seed", "mirror")
    given = [name for name in others if getattr(namespace, name) is not None]
    if given:
        raise UserError(f"expected nothing about an ending with --pgn, got {given[0]} {getattr(namespace, given[0])!r}")
    place = namespace.out or Path(namespace.pgn.with_suffix(".html").name)
    library = _library(namespace, place)
    sheet = coach_sheet(library, read_lesson(namespace.pgn, library.tables))
    _write(namespace, place, library, page(sheet))
    print(sheet.checked)
    return 0


def _of_ending(namespace: Namespace) -> int:
    plan = read_plan(namespace.plan) if namespace.plan is not None else None
    if plan is None and namespace.ending is None:
        raise UserError("expected an ending, --plan or --pgn, got none; see matebot lesson --help")
    names = ("ending", "ladder", "exercises", "seed", "mirror")
    given = {name: getattr(namespace, name) for name in names if getattr(namespace, name) is not None}
    plan = changed(plan, given)
    ladder = plan_for(plan)
    place = namespace.out or Path(f"{ladder.ending}.html")
    library = _library(namespace, place)
    ask_for(Material.parse(ladder.ending, largest=5), library)
    _write(namespace, place, library, page(lesson(library, ladder, plan)))
    return 0


def _library(namespace: Namespace, place: Path) -> Library:
    check_place(place)
    return library_of(namespace)


def _write(namespace: Namespace, place: Path, library: Library, text: str) -> None:
    write_whole(place, text)
    library.tables.keep()
    if namespace.out is None:
        print(place)
