"""The names people give endings: ``KBNK``, ``knbk``, ``KBNvK``, ``bishop and knight``, ``queen against rook``.

Never decides what is covered; see `material`.
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from itertools import permutations

from matebot.records import dataclass
from matebot.solver.material import COVERED, FIVE_MEN, ORDER, Material

_WORDS = {"queen": "Q", "rook": "R", "bishop": "B", "knight": "N", "pawn": "P"}
_PLURALS = {f"{word}s": letter for word, letter in _WORDS.items()}
_NUMBERS = {"two": 2, "2": 2, "a": 1, "one": 1, "1": 1, "the": 1}
_AGAINST = ("against", "versus", "vs", "vs.", "v", "v.")
_BETWEEN = ("and", "+", "&", "with", "king", "lone", "bare")
#: A signature: the men of each side after its king, with or without a word or mark between the sides.
_SIGNATURE = re.compile(r"K([QRBNP]{0,3})[\s:-]*(?:VS\.?|V\.?)?[\s:-]*K([QRBNP]{0,3})")
_LONGEST_NAME = 80


@dataclass(frozen=True, slots=True)
class Named:
    """An ending as somebody named it.

    Attributes
    ----------
    material : the ending
    turned : whether the side named first is not the one `material` has as White: ``KNKB`` for KBKN
    """

    material: Material
    turned: bool = False


class UnknownEnding(ValueError):
    """Words that name no covered ending; the text suggests the nearest name where there is one."""


def ending_named(text: str) -> Named:
    """Return the ending of a name, in signatures or English words, in any order of a side's men and any case.

    Raises
    ------
    UnknownEnding
        when it is not the name of a covered ending

    >>> ending_named("knbk").material.name, ending_named("Queen against rook").material.name
    ('KBNK', 'KQKR')
    >>> ending_named("KRvKQ")
    Named(material=Material(white='Q', black='R'), turned=True)
    """
    sides = _signature(text) or _spoken(text) if len(text) <= _LONGEST_NAME else None
    if sides is not None:
        material, turned = Material.of(*sides)
        if material in COVERED or material in FIVE_MEN:
            return Named(material, turned and material.white != material.black)
    raise UnknownEnding(f"expected an ending such as KBNK or 'bishop and knight'{_hint(text, sides)}, got {text!r}")


def _signature(text: str) -> tuple[str, str] | None:
    found = _SIGNATURE.fullmatch(text.strip().upper())
    return None if found is None else (found[1], found[2])


def _spoken(text: str) -> tuple[str, str] | None:
    """Return the men of both sides from a name in words, None where a word is not understood."""
    sides, number, against = ["", ""], 1, False
    words = re.sub(r"([+&,])", r" \1 ", text.casefold().replace("-", " ")).split()
    for word in words:
        if word in _AGAINST:
            if against:
                return None
            against = True
        elif word in _NUMBERS:
            number = _NUMBERS[word]
            continue
        elif word in _WORDS:
            sides[against] += _WORDS[word] * number
        elif word in _PLURALS:
            sides[against] += _PLURALS[word] * (number if number > 1 else 2)
        elif word not in (*_BETWEEN, ","):
            return None
        number = 1
    return (sides[0], sides[1]) if any(sides) else None


def _hint(text: str, sides: tuple[str, str] | None) -> str:
    """Return the nearest name, or what is covered."""
    if sides is not None:
        return ", with at most three men beside the kings"
    by_name = {name: material.name for material in COVERED for name in _spellings(material)}
    near = get_close_matches(text.strip().casefold()[:_LONGEST_NAME], by_name, n=1, cutoff=0.6)
    return f" (did you mean {by_name[near[0]]}?)" if near else ""


def _spellings(material: Material) -> list[str]:
    """Return the ways to write an ending that a slip of the pen is held against, in small letters."""
    letters = dict(zip(_WORDS.values(), _WORDS, strict=True))
    found = []
    for white in {"".join(men) for men in permutations(material.white)}:
        for black in {"".join(men) for men in permutations(material.black)}:
            found.append(f"k{white}k{black}".lower())
            words = [" and ".join(letters[man] for man in side) for side in (white, black) if side]
            found.append(" against ".join(words))
    if len(material.white) == 2 and material.white[0] == material.white[1]:
        found.append(f"two {letters[material.white[0]]}s")
    assert set(letters) == set(ORDER)
    return found
