"""``matebot progress``: how pupils come on, by ending and stage, and what to practise next and why."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace
from datetime import date
from pathlib import Path

from matebot.commands.pupils import add_pupil, surveyed, today
from matebot.games.showing import table
from matebot.practice.progress import Progress
from matebot.practice.report import COACH_TEXTS, PROGRESS_TEXTS, coach_lines, coach_rows, progress_rows
from matebot.practice.survey import as_data
from matebot.whole_file import check_place, write_whole
from matebot.wording import practice as words


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the arguments of the command."""
    add_pupil(parser, "one pupil (default: an overview of all)")
    parser.add_argument("--html", type=Path, metavar="FILE", help="write a page with plots")
    parser.add_argument("--json", action="store_true", help="print as JSON")


def run(namespace: Namespace) -> int:
    """Show the progress."""
    check_place(namespace.html)
    day = today()
    found = surveyed(namespace, day)
    if namespace.html is not None:
        from matebot.practice.page import page

        write_whole(namespace.html, page(found, day))
    if namespace.json:
        print(json.dumps([as_data(one, day) for one in found], indent=2, ensure_ascii=False))
    elif namespace.html is None:
        print("\n".join(_text(found, namespace.pupil is not None or len(found) == 1, day)))
    return 0


def _text(found: list[Progress], one_only: bool, day: date) -> list[str]:
    lines = []
    if not one_only and found:
        lines += table(coach_rows(found, day), texts=COACH_TEXTS)
        for one in found:
            lines += ["", f"{one.name}:", *(f"  {line}" for line in coach_lines(one, day))]
        return lines
    for one in found:
        lines.append(words.progress_title(one.name, one.games, one.done))
        if one.rows:
            lines += ["", *table(progress_rows(one, day), texts=PROGRESS_TEXTS)]
        lines += ["", *coach_lines(one, day)]
    return lines or [words.NOTHING_YET]
