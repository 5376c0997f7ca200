"""Whether a rule for the defence fits all the moves that last as long: beside one that breaks it, it is no rule."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording.counsel import FEWER, OFF_THE_EDGE, belong_together, only_there
from matebot.wording.pawn_comes import king_after
from matebot.wording.said import needs_king, own_king, own_others, stands, stood

#: Up to so many steps king and man are together.
_NEAR = 2


def fitting(lesson: str, facts: MoveFacts) -> str:
    """Return a rule, unless the move or another that lasts as long goes against it; then what is so of all, if any."""
    king = king_after(facts)
    if lesson in (OFF_THE_EDGE, FEWER):
        if all(map(from_edge, (king, *facts.seen.contrast.equal_kings))):
            return lesson
        return only_there(facts) if needs_king(facts) and from_edge(king) else ""
    if lesson in map(belong_together, facts.men.defender_men) and _parts(facts):
        return ""
    return lesson


def _parts(facts: MoveFacts) -> bool:
    """Whether a man of the side that moved goes where its king is no nearer, or the king farther from it."""
    left, moved, king = stood(facts), stands(facts), king_after(facts)
    for man in own_others(facts):
        was, now = king_steps(own_king(facts), man), king_steps(king, moved if man == left else man)
        if now > _NEAR and now > was - (man == left):
            return True
    return False
