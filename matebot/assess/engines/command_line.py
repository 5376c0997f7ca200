"""How an engine under test is called: the words of the command line given, or this program itself by its name."""

from __future__ import annotations

import os
import shlex
import sys
from pathlib import Path

from matebot.errors import UserError

_OWN_NAME = "matebot"
_PACKAGE_FOLDER = str(Path(__file__).parents[2])


def command_words(command: str) -> tuple[list[str], dict[str, str] | None]:
    """Return the words of a command line and its environment; None for our own.

    Raises
    ------
    UserError
        when the line cannot be split into words
    """
    if command == _OWN_NAME:
        path = os.pathsep.join(filter(None, [_PACKAGE_FOLDER, os.environ.get("PYTHONPATH", "")]))
        return [sys.executable, "-m", _OWN_NAME], {**os.environ, "PYTHONPATH": path}
    try:
        words = shlex.split(command, posix=os.name != "nt")
    except ValueError as fault:
        raise UserError(f"expected a command line ({fault}), got {command!r}") from None
    if not words:
        raise UserError(f"expected a command line, got {command!r}")
    return words, None
