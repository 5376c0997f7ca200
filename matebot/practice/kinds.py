"""What a good move was for, and of what kind a slip is: the one place where facts about a move are put into kinds."""

from __future__ import annotations

from matebot.method.facts import MoveFacts
from matebot.practice.notes import Slip
from matebot.wording.moves import is_slip

_BY_CAUSE = {
    "stalemate": Slip.STALEMATE,
    "fifty moves": Slip.CLOCK,
    "repetition": Slip.REPETITION,
    "dead position": Slip.GIVEN,
}


def kind_of_slip(facts: MoveFacts, cage_opened: bool) -> Slip | None:
    """Return the kind of a slip, None for a good move.

    Parameters
    ----------
    facts : made with a look ahead
    cage_opened : whether the defending king was shut in before the move and is not after it
    """
    if not is_slip(facts):
        return None
    if facts.outcome_after < facts.outcome_before:
        if facts.cause_after in _BY_CAUSE:
            return _BY_CAUSE[facts.cause_after]
        if _loses_man(facts):
            return Slip.GIVEN
        return Slip.MATED if facts.outcome_after < 0 else Slip.OUTCOME
    if _loses_man(facts):
        return Slip.MAN
    if facts.by_attacker and _stage(facts, before=False) < _stage(facts, before=True):
        return Slip.STAGE
    if facts.by_attacker and cage_opened:
        return Slip.CAGE
    return Slip.WAY if facts.by_attacker and facts.left_open else Slip.SLOW


def idea_of(facts: MoveFacts) -> str | None:
    """Return what a good move of the attacker was for, None where nothing special is seen."""
    if is_slip(facts):
        return None
    if facts.mate:
        return "mate"
    if facts.promoted:
        return "promotion"
    if facts.by_attacker and 0 < _stage(facts, before=True) < _stage(facts, before=False):
        return "next stage"
    if facts.waiting:
        return "waiting move"
    if facts.w_step is not None:
        return "knight's route"
    if facts.opposition:
        return "opposition"
    return "way shut" if facts.way_shut else "check" if facts.check else None


def _stage(facts: MoveFacts, before: bool) -> int:
    standings = facts.standings_before if before else facts.standings_after
    return standings[0].stage if standings else 0


def _loses_man(facts: MoveFacts) -> bool:
    """Whether the best reply takes a man that stood loose."""
    return bool(facts.loose and facts.ahead and "x" in facts.ahead[0])
