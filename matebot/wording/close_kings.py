"""That the attacking king goes on standing close to the other, and what that is for."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import from_edge
from matebot.wording import kings, maxims
from matebot.wording.said import if_then, parse_square, rival_king

#: So near each other kings are close.
_BESIDE = 2


def stays_close(facts: MoveFacts) -> str:
    """Say that the king goes on standing near the other."""
    near = facts.man.piece == "king" and facts.kings.kings_after == _BESIDE == facts.kings.kings_before
    if not near or facts.men.defender_men or ("pawn" in facts.men.attacker_men and not kings.on_edge_soon_mated(facts)):
        return ""
    on_edge = not any(from_edge(parse_square(square)) for square in (facts.room.king, *facts.room.flights))
    if on_edge:
        return f"keeps {rival_king(facts)} on the edge"
    return kings.OPPOSITION if facts.kings.opposition == "direct" else _closes_in(facts)


def _closes_in(facts: MoveFacts) -> str:
    """Say that the king stays close, with what comes next: other squares are as close."""
    then = if_then(facts)
    return f"stays close to {rival_king(facts)}{then}" if then else ""


def close_maxim(facts: MoveFacts) -> str:
    """Say why the king stays near one on the edge."""
    on_edge = not any(from_edge(parse_square(square)) for square in (facts.room.king, *facts.room.flights))
    if on_edge:
        return maxims.STAY_THERE
    return maxims.OPPOSED_BAR if facts.kings.opposition == "direct" else maxims.KING_TAKES
