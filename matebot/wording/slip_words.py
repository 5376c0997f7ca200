"""What a slip did in place of what it missed: its king went the wrong way, or the other king is left free."""

from __future__ import annotations

import re

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.cage import Cage, CageChange
from matebot.ideas.squares import from_edge
from matebot.terms import Mistake
from matebot.wording.phrases import LINE
from matebot.wording.said import parse_square

#: So few moves are lost by a quiet move that only wastes time.
_FEW = 3
_BRINGS = ("brings the king ", "heads for the centre", "comes nearer ", "comes to help ")
_SHUTS = "shuts the king in"


def plainly(facts: MoveFacts, first: str, after: list[str]) -> str:
    """Return the first sentence with what the slip did, where that is plain and what comes after has room as before.

    Parameters
    ----------
    first : the sentence, told as a move that was missed, or anything else, which stays
    after : the sentence that comes next, if any
    """
    missed = re.fullmatch(r"(\S+) misses (\S+), which (.*)", first)
    if missed is None or not facts.by_attacker:
        return first
    san, better, deed = missed.groups()
    did = _did(facts, better, deed)
    if not did:
        return first
    deed = deed.replace(_SHUTS, "shuts it in", 1)
    text = f"{san} {did}: {better} {deed}"
    return text if len(f"{facts.turn}: {' '.join([text, *after])}") <= LINE else first


def _did(facts: MoveFacts, better: str, deed: str) -> str:
    """Say what a slip did where the better move does something of the king's; "" where that is not plain."""
    if deed.startswith(_SHUTS):
        cage = facts.seen.idea(Cage)
        free = cage is None or cage.change is CageChange.OPENS
        return "leaves the king free" if free and not facts.men.defender_men else ""
    if not deed.startswith(_BRINGS) or better[0] != "K":
        return ""
    if facts.man.piece == "king":
        nearer = facts.kings.kings_after < facts.kings.kings_before
        inwards = from_edge(parse_square(facts.move[2:4])) > from_edge(parse_square(facts.move[:2]))
        aside = any(  # a better step of the king comes no nearer either
            other.man.piece == "king" and other.kings.kings_after >= facts.kings.kings_after
            for other in facts.held_against
        )
        return "" if nearer or inwards or aside else "goes the wrong way"
    waits = facts.cost.mistake is not Mistake.OUTCOME and (facts.cost.moves_lost or _FEW + 1) <= _FEW
    quiet = not facts.gives.check and not facts.man.captured and facts.man.piece != "pawn"
    return "wastes time" if waits and quiet else ""
