"""How a move of the attacker meets a pawn that is about to promote: by a check, or by what the new queen runs into."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.prepares import Next
from matebot.wording import leads, maxims
from matebot.wording.phrases import other
from matebot.wording.said import parse_square, promotion_square, rivals_men

#: A pawn that takes the last rank with its next step is so far from it.
_ONE_STEP = 8
#: Promotion, check, reply and capture.
_FOUR = 4


def no_time(facts: MoveFacts) -> str:
    """Say that a check leaves a pawn no time to promote, where no quiet move wins."""
    men = rivals_men(facts)
    if facts.men.defender_men != ("pawn",) or not facts.gives.check or facts.man.captured or facts.gives.mate:
        return ""
    near = abs(promotion_square(men[0], other(facts.turn)) - men[0]) == _ONE_STEP
    few = facts.beside.keeping < facts.beside.choices and len(facts.beside_named.keepers) == facts.beside.keeping
    checks = few and all(san.endswith(("+", "#")) for san in facts.beside_named.keepers)
    if not near or not checks:
        return ""
    return "gives check and leaves the pawn no time: no quiet move wins"


def runs_into(idea: LeadsTo, facts: MoveFacts) -> str:
    """Say that the pawn may promote, and what wins the new queen."""
    reply = idea.line[0]
    if not reply.promotion or idea.does is not Next.CAPTURE or len(idea.line) != _FOUR or facts.gives.check:
        return ""
    if idea.line[-1].to_square != reply.to_square or idea.line[1].to_square != idea.line[-1].from_square:
        return ""
    lead = leads.comes_up(facts) or "lets the pawn promote"
    names = [facts.seen.name_after(*idea.line[:end]) for end in (1, 2, _FOUR)]
    return f"{lead}: if {names[0]}, {names[1]}, then {names[2]} wins the queen"


def into_maxim(facts: MoveFacts) -> str:
    """Say what wins the new queen where a check through the king does."""
    idea = facts.seen.idea(LeadsTo)
    if idea is None or len(idea.line) != _FOUR:
        return ""
    check, queen, king = idea.line[1].to_square, idea.line[0].to_square, parse_square(facts.room.king)
    return maxims.LOOK_BEHIND if _between(check, king, queen) else ""


def _between(start: int, middle: int, end: int) -> bool:
    """Whether a square lies on the line from one to another."""
    steps = [(b % 8 - a % 8, b // 8 - a // 8) for a, b in ((start, middle), (middle, end))]
    unit = [tuple((step > 0) - (step < 0) for step in pair) for pair in steps]
    straight = all(0 in pair or abs(pair[0]) == abs(pair[1]) for pair in steps)
    return unit[0] == unit[1] and straight
