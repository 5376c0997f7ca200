"""Reads settings, named ones that ship with the program or files of one's own: TOML, refused when it is out of measure.

One door for profiles and plans. Never says what the keys mean.
"""

from __future__ import annotations

import errno
import stat
import tomllib
from pathlib import Path
from typing import Any

from matebot.errors import UserError
from matebot.quoting import shown
from matebot.resources import config_names, config_text

#: No settings are larger, and no line of them is longer: the parser's time grows with the square of a dotted key.
MOST_BYTES, MOST_LINE = 64 * 1024, 1024
#: No settings hold deeper tables and lists, or larger numbers; what does could not even be shown in a message.
MOST_DEPTH, MOST_BITS = 16, 128
_ENDING = ".toml"
#: Characters of a text that are quoted, and of a fault the parser found.
_QUOTED, _REASON = 40, 120
_TOO_DEEP = f"nested more than {MOST_DEPTH} deep"


def setting_names(folder: str) -> tuple[str, ...]:
    """Return the names of the settings that ship in a folder of `configs`, such as "profiles"."""
    return tuple(
        name.removeprefix(f"{folder}/").removesuffix(_ENDING)
        for name in config_names()
        if name.startswith(f"{folder}/") and name.endswith(_ENDING)
    )


def read_settings(name: str, folder: str, what: str) -> tuple[dict[str, Any], Path | None]:
    """Return the values of settings by their name, or from a file; and that file, None for those that ship.

    Parameters
    ----------
    name : as the user gave it; the name of settings in `folder` comes before a file of the same name
    folder : where settings of this kind stand in `configs`, "profiles"
    what : what they are called in messages, "profile"

    Raises
    ------
    UserError
        naming the file and what is wrong
    """
    known = setting_names(folder)
    if name in known:
        return _values(name, config_text(f"{folder}/{name}{_ENDING}")), None
    path = Path(name)
    try:
        text = _text(path, name, what, known)
    except (OSError, ValueError) as fault:  # the latter for a name no system takes, and for what is no UTF-8
        reason = fault.strerror if isinstance(fault, OSError) else fault
        raise UserError(f"expected a {what} that can be read ({reason}), got {shown(repr(name))}") from None
    return _values(name, text), path


def _values(name: str, text: str) -> dict[str, Any]:
    if max(map(len, text.split("\n"))) > MOST_LINE:
        found = shown(text, _QUOTED)
        raise UserError(f"{shown(name)}: expected lines of at most {MOST_LINE} characters, got {found!r}")
    try:
        values = tomllib.loads(text)
        if (wrong := _out_of_measure(values)) is None:
            return values
        reason = wrong
    except RecursionError:
        reason = _TOO_DEEP
    except ValueError as fault:  # also a number too long to be read
        reason = shown(str(fault), _REASON)
    raise UserError(f"{shown(name)}: expected TOML ({reason}), got {shown(text, _QUOTED)!r}") from None


def _text(path: Path, name: str, what: str, known: tuple[str, ...]) -> str:
    """Return the text of a regular file; nothing else is opened, since a pipe might never say anything."""
    try:
        found = path.stat() if name else None
    except (FileNotFoundError, NotADirectoryError):
        found = None
    if found is None:
        raise UserError(f"expected a {what} ({', '.join(known)}) or a file, got {shown(name)!r}")
    if not stat.S_ISREG(found.st_mode):
        raise OSError(errno.EINVAL, "not a regular file")
    with path.open("rb") as source:
        data = source.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise UserError(f"{shown(name)}: expected settings of at most {MOST_BYTES // 1024} KiB, got more")
    return data.decode("utf-8-sig")


def _out_of_measure(values: dict[str, Any]) -> str | None:
    """Return why values are refused whatever they mean, None where they are not; never goes deeper than allowed."""
    layer: list[Any] = [values]
    for _ in range(MOST_DEPTH):
        if any(isinstance(value, int) and value.bit_length() > MOST_BITS for value in layer):
            return f"a number of more than {MOST_BITS} bits"
        parts = (value.values() if isinstance(value, dict) else value for value in layer if _has_parts(value))
        layer = [part for found in parts for part in found]
    return _TOO_DEEP if layer else None


def _has_parts(value: Any) -> bool:
    return isinstance(value, dict | list)
