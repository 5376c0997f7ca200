"""Who holds what in a mate."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.mates import Mates
from matebot.wording import maxims
from matebot.wording.phrases import listed
from matebot.wording.said import man, squares, stands

#: So many men hold too many squares to be named.
_MANY = 3


def held_by(idea: Mates, facts: MoveFacts) -> str:
    """Say who checks and who holds which squares: ``the knight checks; the king holds a7 and c7``.

    Of two men of a kind it is told where they stand.
    """
    kinds = [holder.man for holder in idea.holders]
    if len(kinds) >= _MANY and len(set(kinds)) == len(kinds) and not idea.blocked:
        return f"{listed([man_name(kind) for kind in kinds])} together hold every square"
    came = stands(facts)
    parts = []
    for holder in idea.holders:
        held = [square for square in holder.squares if square != came]
        # That the man that moves and holds squares gives the check goes without saying.
        what = ["checks"] if holder.checks and not (held and holder.square == came) else []
        if came in holder.squares:
            what.append(f"guards the {facts.man.promoted or facts.man.piece}")
        if held:
            what.append(f"holds {squares(held)}")
        at = f" on {square_name(holder.square)}" if kinds.count(holder.man) > 1 else ""
        parts.append(f"{man(holder.man)}{at} {listed(what)}")
    if idea.blocked:
        parts.append(
            f"{squares(idea.blocked)} {'is' if len(idea.blocked) == 1 else 'are'} blocked by the king's own men"
        )
    return "; ".join(parts)


def in_short(idea: Mates, facts: MoveFacts) -> str:
    """Say the same without the squares: ``the queen on c7 guards it, and no square is left``."""
    came, kinds = stands(facts), [holder.man for holder in idea.holders]
    for holder in idea.holders:
        if came in holder.squares:
            at = f" on {square_name(holder.square)}" if kinds.count(holder.man) > 1 else ""
            return f"{man(holder.man)}{at} guards it, and no square is left"
    return "no square is left to the king"


def maxim(idea: Mates) -> str:
    """Say what a mate teaches that has no pattern."""
    if idea.in_corner:
        return maxims.IN_THE_CORNER
    return maxims.ON_THE_EDGE if idea.on_edge else ""
