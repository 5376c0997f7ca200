"""Named sets of option values, read from TOML files: shipped ones by name, own ones by path.

A profile has a ``description`` and a table ``[options]`` whose keys are names of UCI options::

    description = "a patient partner"
    [options]
    Explanations = "full"
"""

from __future__ import annotations

from matebot.errors import UserError
from matebot.records import dataclass
from matebot.settings import read_settings
from matebot.uci.options import OPTIONS, Option

_FOLDER = "profiles"
_KEYS = ("description", "options")


@dataclass(frozen=True, slots=True)
class Profile:
    """A set of option values that have been checked."""

    name: str
    description: str
    values: dict[str, str | int | bool]


def read_profile(name: str) -> Profile:
    """Return a profile by its name, or from a file.

    Raises
    ------
    UserError
        naming the file, the key and what is allowed
    """
    data, _ = read_settings(name, _FOLDER, "profile")
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
