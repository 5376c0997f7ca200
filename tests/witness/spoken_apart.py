"""Holds that what a better move is praised for is not done by the slip as well: else it is no reason.

Where moves as quick are named that do without what is told of a good one, no other of that kind is left out.
"""

from __future__ import annotations

import re

from tests.witness.spoken import AS_QUICK, MAN, SAN, Spoken, hold, moves_in, then
from tests.witness.spoken_instead import INSTEAD, best_replies, deed_meant, gains
from tests.witness.spoken_men import apart

_PRICE = r"(?:; [^;]*)?"
_PRAISES = (
    rf"{SAN} misses {SAN}, which (?P<deed>.*?){_PRICE}",
    rf"Better: {SAN} (?P<deed>.*)",
)
_LOST = re.compile(rf" (?:away|hanging): | does not save | is stalemate|gives the {MAN} for ")
#: Praises of degree: the slip may do so a little, and what it does less of is not counted here; of captures the man
#: that takes is what differs.
_COMPARED = re.compile(
    r"keeps it nearer|keeps nearest .*|takes the (?:loose )?\w+|takes a good part of the board .*"
    r"|shuts the king in(?: by the right corner [a-h][1-8])?|tightens the cage"
    r"|(?:keeps the|holds (?:White|Black)'s) king on the edge|brings the king up(?:, while .*| for the mate)?"
)
#: A praise of degree that is counted: the better move comes nearer.
_NEARER = re.compile(r"brings the king nearer(?: to (?:White|Black)'s)?|comes nearer to (?:White|Black)'s king")
_INSTEAD = rf"{SAN} {INSTEAD}".replace("(?P<deed>.*)", rf"(?P<deed>.*?){_PRICE}")


def told_apart(text: list[str], about: Spoken) -> int:
    """Hold that a slip does not do what the better move is praised for."""
    praises = [praise for praise in _praised(text, about) if not _COMPARED.fullmatch(praise)]
    return sum(hold(not _as_well(praise, text[0], about), f"the slip does so too: {praise}") for praise in praises)


def _as_well(praise: str, told: str, about: Spoken) -> bool:
    """Whether the slip does what the better move is praised for, of a king brought nearer as well as it."""
    if _NEARER.fullmatch(praise):
        named = [move for move in about.before.legal_moves if about.before.san(move) in moves_in(told)]
        if min(apart(then(about.before, move)) for move in named) < apart(about.after):
            return False
    return does(praise, about)


def none_left_out(text: list[str], about: Spoken) -> int:
    """Hold that moves as quick which do not do what is told are all named, or said to be there."""
    from tests.witness.parting import lacking

    found = next((match for part in text if (match := re.fullmatch(AS_QUICK, part))), None)
    if found is None or found["more"] or about.before.is_capture(about.move) or about.move.promotion:
        return 0  # a capture or a new man speaks for itself: only a capture left out is named
    left = {*lacking(text, about)} - {*moves_in(found["moves"])}
    return hold(not left, f"as quick, and without it: {sorted(left)}")


def _praised(text: list[str], about: Spoken) -> list[str]:
    if _LOST.search(text[0]):
        return []  # the man is the reason, and the better move only told of
    found = [match["deed"] for part in text for pattern in _PRAISES if (match := re.fullmatch(pattern, part))]
    instead = re.fullmatch(_INSTEAD, text[0])
    if (
        instead is not None
        and about.best is not None
        and instead["best"] not in map(about.before.san, about.before.legal_moves)
    ):
        instead = None  # it is the reply
    return found if instead is None else [*found, deed_meant(instead["did"], instead["deed"], about)]


def does(praise: str, about: Spoken) -> bool:
    """Whether a move does what is said of another: it is read without a fault."""
    from tests.witness.deeds import deed

    if saved := re.fullmatch(rf"saves the ({MAN})", praise):  # for a moment only, where it is attacked at once
        replies = best_replies(about.after, about)
        if any(gains(f"attacks the {saved[1]}", reply, about.after) for reply in replies):
            return False
    try:
        return deed(praise, about.of(about.move)) > 0
    except (AssertionError, LookupError, StopIteration, TypeError, ValueError):
        return False  # what is named is not there
