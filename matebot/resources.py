"""Finds the settings that ship with the program, installed or straight from the source tree.

The folder ``configs`` stands at the top of the source tree and inside the installed package.
Never parses what it finds.
"""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from matebot.errors import UserError

FOLDER = "configs"


def config_names() -> tuple[str, ...]:
    """Return the names of all settings files, folders with forward slashes, in alphabetical order."""
    return tuple(sorted(_names(_root())))


def config_text(name: str) -> str:
    """Return the text of a settings file.

    Raises
    ------
    UserError
        when there is no file of that name
    """
    known = config_names()
    if name not in known:
        raise UserError(f"expected one of the settings files {', '.join(known) or '(none)'}, got {name!r}")
    return _root().joinpath(*name.split("/")).read_text(encoding="utf-8")


def _root() -> Traversable:
    installed = files("matebot") / FOLDER
    return installed if installed.is_dir() else Path(__file__).parent.parent / FOLDER


def _names(folder: Traversable, prefix: str = "") -> list[str]:
    if not folder.is_dir():
        return []
    found: list[str] = []
    for entry in folder.iterdir():
        name = prefix + entry.name
        found += _names(entry, f"{name}/") if entry.is_dir() else [name]
    return found
