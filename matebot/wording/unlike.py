"""What a better move does that a slip does not, where nothing tells it from all moves as bad."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.wording import leads, remedies
from matebot.wording.attack import head
from matebot.wording.room_left import line_taken

#: So many squares taken from a king are named.
_FEW = 3
#: What is no deed of its own, or done along other lines as well; and steps of the king that the slip's step is like.
_NO_DEED = ("keeps ", "saves ", "prepares ", "cuts ")
_STEPS = ("brings the king ", "heads for the centre", "comes nearer")
#: What is as true of a man after another move.
_AWAY = " away from its king, "


def unlike_slip(facts: MoveFacts, better: MoveFacts) -> str:
    """Say which squares the better move takes from a bare king and the slip does not, or what else it does."""
    if facts.worth.outcome_before <= 0:
        return ""  # in a draw it is no room that counts
    taken, quiet = better.room.squares_taken, not facts.men.defender_men and not facts.gives.check
    if quiet and 0 < len(taken) <= _FEW and not set(taken) & set(facts.room.squares_taken):
        return f"misses {better.san}, which {line_taken(taken, better)}"
    does = deed(facts, better) or head(comes_nearer(facts, better))
    does = does.partition(" to help ")[0] if does.startswith("brings the king ") else does
    return f"misses {better.san}, which {does}" if does else ""


def deed(facts: MoveFacts, better: MoveFacts) -> str:
    """Return what the better move does first that the slip does not, though another move as bad may do so."""
    if facts.worth.outcome_before <= 0:
        return ""  # in a draw it is no room that counts
    none = (*_NO_DEED, *_STEPS) if facts.man.piece == better.man.piece == "king" else _NO_DEED
    told = (head(one.text) for one in remedies.own(better, facts, alone=False))
    return next((text for text in told if not text.startswith(none) and _AWAY not in f"{text}, "), "")


def comes_nearer(facts: MoveFacts, better: MoveFacts) -> str:
    """Say that the king comes up where the slip does not come as near."""
    return "" if remedies.as_near_too(better, facts) else comes_up(better)


def comes_up(better: MoveFacts) -> str:
    """Say that the king comes up; nothing where it is as many steps from the other as before."""
    return leads.comes_up(better) if better.kings.kings_after < better.kings.kings_before else ""
