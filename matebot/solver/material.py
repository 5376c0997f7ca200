"""Material signatures and what they lead to; the list of covered endings follows from the rule, not a table."""

from __future__ import annotations

from functools import cache
from itertools import combinations_with_replacement

from matebot.records import dataclass

#: Men from the strongest to the weakest; signatures are written in this order.
ORDER = "QRBNP"
PROMOTIONS = "QRBN"


def _sorted(men: str) -> str:
    return "".join(sorted(men, key=ORDER.index))


@cache
def _men(white: str, black: str) -> tuple[tuple[str, bool], ...]:
    return tuple((man, True) for man in white) + tuple((man, False) for man in black)


def _strength(men: str) -> tuple[int, tuple[int, ...]]:
    return len(men), tuple(-ORDER.index(man) for man in men)


@dataclass(frozen=True, slots=True)
class Material:
    """Men of both sides beside the kings, for example ``Material("BN", "")`` for KBNK.

    The canonical form gives White the stronger men: more of them, then the better ones.
    """

    white: str
    black: str

    @property
    def name(self) -> str:
        """The signature in the trade's short form, White's men first: ``KBNK``."""
        return f"K{self.white}K{self.black}"

    @property
    def men(self) -> tuple[tuple[str, bool], ...]:
        """The men beside the kings as (man, is white), White's first."""
        return _men(self.white, self.black)

    @property
    def has_pawns(self) -> bool:
        """Whether any man is a pawn."""
        return "P" in self.white + self.black

    @classmethod
    def of(cls, white: str, black: str) -> tuple[Material, bool]:
        """Return the canonical material of two sets of men and whether the colours were swapped."""
        white, black = _sorted(white), _sorted(black)
        swapped = _strength(black) > _strength(white)
        return (cls(black, white), True) if swapped else (cls(white, black), False)

    @classmethod
    def parse(cls, name: str, largest: int = 4) -> Material:
        """Read a signature such as ``KBNK`` or ``kqkr``; `largest` is the most men, four or five.

        Raises
        ------
        ValueError
            when it is not the signature of such an ending.
        """
        for material in COVERED + (FIVE_MEN if largest > 4 else ()):
            if material.name == name.upper():
                return material
        known = " ".join(material.name for material in COVERED)
        raise ValueError(f"expected one of the endings {known}, got {name!r}")

    @property
    def alike(self) -> tuple[slice, ...]:
        """Which of `men` stand next to each other and are alike: they may change places."""
        found, start = [], 0
        for end in range(1, len(self.men) + 1):
            if end == len(self.men) or self.men[end] != self.men[start]:
                found.append(slice(start, end))
                start = end
        return tuple(part for part in found if part.stop - part.start > 1)

    def children(self) -> tuple[Material, ...]:
        """Return the endings reached by one capture or promotion, canonical, without duplicates and bare kings."""
        found: dict[Material, None] = {}
        for white, black in _captures(self.white, self.black) + _promotions(self.white, self.black):
            if white or black:
                found[Material.of(white, black)[0]] = None
        return tuple(found)


def _without(men: str, man: str) -> str:
    return men.replace(man, "", 1)


def _promotions(white: str, black: str) -> list[tuple[str, str]]:
    ours = [(_without(white, "P") + new, black) for new in PROMOTIONS] if "P" in white else []
    theirs = [(white, _without(black, "P") + new) for new in PROMOTIONS] if "P" in black else []
    return ours + theirs


def _captures(white: str, black: str) -> list[tuple[str, str]]:
    plain = [(_without(white, man), black) for man in white] + [(white, _without(black, man)) for man in black]
    promoting: list[tuple[str, str]] = []
    if "P" in white:
        promoting += [(_without(white, "P") + new, _without(black, man)) for man in black for new in PROMOTIONS]
    if "P" in black:
        promoting += [(_without(white, man), _without(black, "P") + new) for man in white for new in PROMOTIONS]
    return plain + promoting


def _covered() -> tuple[Material, ...]:
    single = [Material(man, "") for man in ORDER]
    pairs = list(combinations_with_replacement(ORDER, 2))
    return tuple(single + [Material(a + b, "") for a, b in pairs] + [Material.of(a, b)[0] for a, b in pairs])


#: The 35 endings of three and four men.
COVERED: tuple[Material, ...] = _covered()


def _five_men() -> tuple[Material, ...]:
    triples = ["".join(men) for men in combinations_with_replacement(ORDER, 3)]
    pairs = ["".join(men) for men in combinations_with_replacement(ORDER, 2)]
    return tuple([Material(men, "") for men in triples] + [Material(pair, man) for pair in pairs for man in ORDER])


#: The 110 endings of five men, which are solved only when asked for by name.
FIVE_MEN: tuple[Material, ...] = _five_men()


@cache
def closure(material: Material) -> tuple[Material, ...]:
    """Return the endings needed to solve one, in the order of solving, the ending itself last."""
    ordered: dict[Material, None] = {}
    for child in material.children():
        ordered.update(dict.fromkeys(closure(child)))
    ordered[material] = None
    return tuple(ordered)
