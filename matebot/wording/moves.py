"""What a move did, in at most three short sentences, right for either colour and any corner.

Each sentence states facts of `MoveFacts` only. The first says what the move does and which stage it serves, the
second what to know beside it, the third how far it is to mate.
"""

from __future__ import annotations

from matebot.method.facts import MoveFacts
from matebot.terms import Cause, Mistake
from matebot.wording.deeds import ASIDES, DEEDS, distance, first, king, told_by
from matebot.wording.defence import drew, held
from matebot.wording.outlook import dead
from matebot.wording.phrases import sentence, side
from matebot.wording.slips import slipped, slower

_MAX_SENTENCES = 3


def is_slip(facts: MoveFacts) -> bool:
    """Whether a move is told and marked as a mistake; one move slower without more is none."""
    return facts.mistake.is_slip


def told(facts: MoveFacts, better: MoveFacts | None = None) -> list[str]:
    """Return one to three sentences about a move, good or bad.

    Parameters
    ----------
    better : the facts of the best move, where this one loses something
    """
    if facts.mistake.is_slip:
        return slipped(facts, better)[:_MAX_SENTENCES]
    if facts.mistake is Mistake.SLOWER:
        return slower(facts, better)[:_MAX_SENTENCES]
    return (_attack(facts) if facts.by_attacker else _defence(facts))[:_MAX_SENTENCES]


def _attack(facts: MoveFacts) -> list[str]:
    if facts.mate:
        return [sentence(f"{facts.san} is checkmate: {king(facts)} on {facts.king} has no square left")]
    if facts.outcome_before == facts.outcome_after == 0:
        return _still_drawn(facts)
    sentences = [sentence(stage_lead(facts) + told_by(DEEDS, facts))]
    aside = told_by(ASIDES, facts)
    return [*sentences, *([sentence(aside)] if aside else []), *_distance(facts)]


def _still_drawn(facts: MoveFacts) -> list[str]:
    """Say what a move of the stronger side does to a draw: most change nothing, but some save it."""
    if facts.cause_before is Cause.DEAD_POSITION:
        return _changes_nothing(facts)
    if facts.captured or facts.promoted or facts.keeping < facts.choices or facts.cause_after is Cause.STALEMATE:
        return drew(facts)
    return [sentence(f"{facts.san} leaves the position drawn: with best play no mate can be forced")]


def _changes_nothing(facts: MoveFacts) -> list[str]:
    return [sentence(f"{facts.san} changes nothing: {dead((*facts.attacker_men, *facts.defender_men))}")]


def stage_lead(facts: MoveFacts) -> str:
    """Return the words that name the stage a move of the attacker serves; empty without a ladder."""
    before, after = first(facts.standings_before), first(facts.standings_after)
    if before is None:
        return ""
    if after is not None and after.ladder == before.ladder and after.stage > before.stage:
        return f"Stage {after.stage} of {after.stages}, {after.title}, can begin: "
    if after is not None and after.ladder == before.ladder and after.stage < before.stage:
        return f"The shortest mate leaves stage {before.stage} of the method, {before.title}: "
    return f"Stage {before.stage} of {before.stages}, {before.title}: "


def _distance(facts: MoveFacts) -> list[str]:
    text = distance(facts)
    if text:
        return [sentence(text)]
    return ["The position is drawn."] if facts.outcome_after == 0 else []


def _defence(facts: MoveFacts) -> list[str]:
    if facts.mate:
        return [sentence(f"{facts.san} is checkmate")]
    if facts.cause_before is Cause.DEAD_POSITION:
        return _changes_nothing(facts)
    if facts.outcome_after == 0:
        return drew(facts)
    if facts.outcome_after > 0:
        return [sentence(f"{facts.san} wins for {side(facts.turn)}"), *_distance(facts)]
    return [*held(facts), *_distance(facts)]
