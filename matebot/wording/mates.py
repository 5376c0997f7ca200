"""Who holds what in a mate."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import square_name
from matebot.ideas.mates import Mates
from matebot.wording.phrases import listed
from matebot.wording.said import man, parse_square, squares


def held_by(idea: Mates, facts: MoveFacts) -> str:
    """Say who checks and who holds which squares: ``the knight checks; the king holds a7 and c7``.

    Of two men of a kind it is told where they stand.
    """
    kinds = [holder.man for holder in idea.holders]
    came = parse_square(facts.move[2:4])
    parts = []
    for holder in idea.holders:
        held = [square for square in holder.squares if square != came]
        what = ["checks"] if holder.checks else []
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
