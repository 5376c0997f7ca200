"""Named sets of option values, read from TOML files: shipped ones by name, own ones by path.

A profile has a ``description`` and a table ``[options]`` whose keys are names of UCI options::

    description = "a patient partner"
    [options]
    Explanations = "full"
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from matebot.errors import UserError
from matebot.resources import config_names, config_text
from matebot.uci.options import OPTIONS, Option

_FOLDER, _ENDING = "profiles/", ".toml"
_KEYS = ("description", "options")


@dataclass(frozen=True, slots=True)
class Profile:
    """A set of option values that have been checked."""

    name: str
    description: str
    values: dict[str, str | int | bool]


def profile_names() -> tuple[str, ...]:
    """Return the names of the profiles that ship with the program."""
    return tuple(
        name.removeprefix(_FOLDER).removesuffix(_ENDING)
        for name in config_names()
        if name.startswith(_FOLDER) and name.endswith(_ENDING)
    )


def read_profile(name: str) -> Profile:
    """Return a profile by its name, or from a file.

    Raises
    ------
    UserError
        naming the file, the key and what is allowed
    """
    if name in profile_names():
        return parse_profile(name, config_text(f"{_FOLDER}{name}{_ENDING}"))
    path = Path(name)
    if not path.is_file():
        raise UserError(f"expected a profile ({', '.join(profile_names())}) or a file, got {name!r}")
    try:
        return parse_profile(name, path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as fault:
        raise UserError(f"expected a readable profile ({fault}), got {name!r}") from None


def parse_profile(name: str, text: str) -> Profile:
    """Return the profile in a TOML text; `name` is used in messages."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise UserError(f"{name}: expected TOML ({fault}), got {text[:40]!r}") from None
    for key in data:
        if key not in _KEYS:
            raise UserError(f"{name}: expected only the keys {', '.join(_KEYS)}, got {key!r}")
    options = data.get("options", {})
    if not isinstance(options, dict):
        raise UserError(f"{name}: expected a table for the key 'options', got {options!r}")
    values = dict(_value(name, key, value) for key, value in options.items())
    return Profile(name, str(data.get("description", "")), values)


def _value(name: str, key: str, value: object) -> tuple[str, str | int | bool]:
    known: dict[str, Option] = {o.name.lower(): o for o in OPTIONS if o.name not in ("Profile", "UCI_EngineAbout")}
    option = known.get(key.lower())
    if option is None:
        allowed = ", ".join(o.name for o in known.values())
        raise UserError(f"{name}: expected one of the options {allowed}, got {key!r}")
    text = str(value).lower() if isinstance(value, bool) else str(value)
    try:
        return option.name, option.accept(text)
    except ValueError as fault:
        raise UserError(f"{name}: {fault}") from None
