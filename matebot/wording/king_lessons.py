"""What it teaches that the attacking king comes: to help, or to the centre first."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.wording import maxims
from matebot.wording.kings import mates_first, queen_against_minor, to_pawn
from matebot.wording.said import needs_king, pawn_runs


def help_maxim(facts: MoveFacts) -> str:
    """Say why the king comes to help."""
    hunts = facts.men.attacker_men == ("queen",) and facts.men.defender_men == ("rook",)
    if hunts and not facts.seen.answers_check:
        return maxims.KING_THEN_FORK
    if pawn_runs(facts):
        return maxims.NOT_ALONE.format(man="queen") if facts.men.attacker_men == ("pawn",) else maxims.ATTACK_TOGETHER
    if facts.seen.answers_check:
        return maxims.STEP_NEARER if facts.kings.kings_after < facts.kings.kings_before else ""
    if needs_king(facts):
        men = facts.men.attacker_men
        first = maxims.ALL_IN_PLAY if facts.man.piece == "king" else ""
        return maxims.NOT_ALONE.format(man=men[0]) if len(men) == 1 else first
    if mates_first(facts):
        return maxims.NOT_ALONE.format(man=next(man for man in facts.men.attacker_men if man != "pawn"))
    if "pawn" in facts.men.attacker_men:
        if any(other.man.piece == "pawn" for other in facts.as_quick):
            return maxims.BRING_ON  # The pawn needs no escort yet.
        heavy = next((man for man in facts.men.attacker_men if man in ("queen", "rook")), "")
        return maxims.ESCORT if to_pawn(facts) else maxims.NOT_ALONE.format(man=heavy) if heavy else ""
    if queen_against_minor(facts):
        return maxims.NOT_ALONE.format(man="queen")
    return maxims.ATTACK_TOGETHER if facts.men.defender_men else ""


def centre_maxim(facts: MoveFacts) -> str:
    """Say why the king goes to the centre: one piece alone waits for it there."""
    alone_needs = needs_king(facts) and len(facts.men.attacker_men) == 1 and facts.man.piece == "king"
    return maxims.KING_TO_CENTRE if alone_needs and not facts.seen.answers_check else help_maxim(facts)
