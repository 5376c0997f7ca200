"""Rules for whoever defends, which a pupil can take along: a short sentence beside a move, without squares."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.drawn.minor_holds_rook import MinorHoldsRook
from matebot.ideas.drawn.minor_stops_pawn import MinorStopsPawn
from matebot.ideas.idea import man_name
from matebot.ideas.meets import Meets
from matebot.ideas.pitfall import Pitfall
from matebot.ideas.refutation import Means

_BISHOP = 3
#: Steps from its king up to which a man counts as near.
_NEAR = 2
SECOND_MAN = "beware of the check that hits a second man"
FROM_AFAR = "bishops stop pawns from afar"


def in_a_draw(facts: MoveFacts) -> str:
    """Say what a drawing defence teaches."""
    why = facts.seen.why_drawn
    if isinstance(why, MinorStopsPawn):
        return FROM_AFAR if why.minor == _BISHOP and why.held and why.takes is None else ""
    if not isinstance(why, MinorHoldsRook) or facts.man.captured:
        return ""
    danger = facts.seen.idea(Meets) or facts.seen.idea(Pitfall)
    minor = man_name(why.minor)
    if danger is not None and danger.means is Means.FORK:
        return SECOND_MAN
    if danger is not None and danger.means in (Means.SKEWER, None):
        return f"keep king and {minor} off one line"
    return f"king and {minor} belong together" if why.king_steps <= _NEAR else ""
