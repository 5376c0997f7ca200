"""What a good move of the attacker was for: a name for the record."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.knights_w import KnightsW, WState


def idea_of(facts: MoveFacts) -> str | None:
    """Return what a good move of the attacker was for, None where nothing special is seen."""
    if facts.cost.mistake.is_slip:
        return None
    if facts.gives.mate:
        return "mate"
    if facts.man.promoted:
        return "promotion"
    if facts.by_attacker and 0 < _stage(facts, before=True) < _stage(facts, before=False):
        return "next stage"
    if facts.passing.waiting:
        return "waiting move"
    w = facts.seen.idea(KnightsW)
    if w is not None and w.state is WState.STEP:
        return "knight's route"
    if facts.kings.opposition:
        return "opposition"
    return "way shut" if facts.way.way_shut else "check" if facts.gives.check else None


def _stage(facts: MoveFacts, before: bool) -> int:
    standings = facts.places.standings_before if before else facts.places.standings_after
    return standings[0].stage if standings else 0
