"""Names of pupils: any letters of any script, told apart without regard to case. Never reads the record."""

from __future__ import annotations

import unicodedata

from matebot.errors import UserError

_LONGEST = 100
#: Marks that turn the direction of all that follows on the line.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_CATEGORIES = frozenset({"Cc", "Cs", "Zl", "Zp"})


def clean_name(text: str) -> str:
    """Return a name as it is shown: composed letters, single blanks.

    Raises
    ------
    UserError
        when it is empty, too long, or holds what cannot be shown on a line
    """
    if any(unicodedata.category(letter) in _CATEGORIES and not letter.isspace() for letter in text):
        raise UserError(f"expected a pupil's name without control characters, got {text[:_LONGEST]!a}")
    name = " ".join(unicodedata.normalize("NFC", text).split())
    if not name or _TURNING & set(name):
        raise UserError(f"expected a pupil's name, got {text[:_LONGEST]!a}")
    if len(name) > _LONGEST:
        raise UserError(f"expected a pupil's name of at most {_LONGEST} letters, got {len(name)} letters")
    return name


def name_key(text: str) -> str:
    """Return what two spellings of one name have in common."""
    return unicodedata.normalize("NFC", clean_name(text).casefold())
