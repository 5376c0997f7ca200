"""Arguments for commands that work through endings, and a line of progress."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace

from matebot.errors import UserError
from matebot.solver.material import COVERED, Material


def add_endings(parser: ArgumentParser) -> None:
    """Add the endings to work on."""
    parser.add_argument("endings", nargs="*", metavar="ENDING", help="such as KBNK; all (the default) for all 35")


def chosen(namespace: Namespace) -> list[Material]:
    """Return the endings asked for.

    Raises
    ------
    UserError
        when one is not covered
    """
    names = namespace.endings or ["all"]
    if names == ["all"]:
        return list(COVERED)
    try:
        return [Material.parse(name) for name in names]
    except ValueError as fault:
        raise UserError(str(fault)) from None


def progress(done: int, total: int, text: str) -> None:
    """Show a bar on standard error, if that is a terminal."""
    if sys.stderr.isatty():
        width = 30
        filled = width * done // max(total, 1)
        end = "\n" if done >= total else ""
        print(f"\r[{'#' * filled}{'.' * (width - filled)}] {text:<40}", end=end, file=sys.stderr, flush=True)
