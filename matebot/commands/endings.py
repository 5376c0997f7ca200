"""Endings as arguments of commands, by the names people use, and a line of progress."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace

from matebot.errors import UserError
from matebot.solver.material import COVERED, FIVE_MEN, Material
from matebot.solver.names import Named, UnknownEnding, ending_named

_BAR, _LINE = 30, 78


def add_endings(parser: ArgumentParser) -> None:
    """Add the endings to work on."""
    parser.add_argument(
        "endings", nargs="*", metavar="ENDING", help="such as KBNK or 'bishop and knight'; all (the default) for all 35"
    )


def chosen(namespace: Namespace) -> list[Material]:
    """Return the endings asked for, each once; five men only by name or where all are asked for with them.

    Raises
    ------
    UserError
        when one is not covered
    """
    names = namespace.endings or ["all"]
    if names == ["all"]:
        return [*COVERED, *(FIVE_MEN if getattr(namespace, "with_five_men", False) else ())]
    return list(dict.fromkeys(known(name).material for name in names))


def known(name: str) -> Named:
    """Return the ending of a name; whether it may be asked for, `playing.ask_for` tells.

    Raises
    ------
    UserError
        when it is not the name of a covered ending
    """
    try:
        return ending_named(name)
    except UnknownEnding as fault:
        raise UserError(str(fault)) from None


def progress(done: int, total: int, text: str) -> None:
    """Show a bar on standard error, if that is a terminal."""
    if sys.stderr.isatty():
        filled = _BAR * done // max(total, 1)
        bar = f"[{'#' * filled}{'.' * (_BAR - filled)}] {text}"
        print(f"\r{bar[:_LINE]:<{_LINE}}", end="", file=sys.stderr, flush=True)


def tell(text: str) -> None:
    """Print a line on standard output in place of the bar."""
    _clear()
    print(text, flush=True)


def warn(text: str) -> None:
    """Print a line on standard error in place of the bar."""
    _clear()
    print(text, file=sys.stderr, flush=True)


def _clear() -> None:
    if sys.stderr.isatty():
        print(f"\r{'':<{_LINE}}\r", end="", file=sys.stderr, flush=True)
