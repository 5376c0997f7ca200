"""Of what kind a slip is: one pure function from the facts of a move and its ideas."""

from __future__ import annotations

from collections.abc import Callable

from matebot.facts.move_facts import MoveFacts
from matebot.facts.places import falls_back
from matebot.ideas.chasing_check import ChasingCheck
from matebot.ideas.knights_w import KnightsW, WState
from matebot.ideas.out_of_corner import OutOfCorner
from matebot.ideas.seeing import opens_cage
from matebot.ideas.slip_kinds import SlipKind
from matebot.method.condition import Condition
from matebot.terms import Cause, Mistake

_BY_CAUSE = {
    Cause.STALEMATE: SlipKind.STALEMATE,
    Cause.FIFTY_MOVES: SlipKind.CLOCK,
    Cause.REPETITION: SlipKind.REPETITION,
    Cause.DEAD_POSITION: SlipKind.GIVEN,
}


def kind_of(facts: MoveFacts) -> SlipKind | None:
    """Return the kind of a slip, None for a move that is none."""
    if not facts.cost.mistake.is_slip:
        return None
    if facts.worth.outcome_after < facts.worth.outcome_before:
        return _outcome(facts)
    if facts.cost.mistake is Mistake.MAN:
        return SlipKind.MAN
    if not facts.by_attacker:
        return SlipKind.SOONER
    if facts.cost.moves_lost == 1 and opens_cage(facts.seen):
        return SlipKind.CAGE
    return next((kind for kind, holds in _ATTACK if holds(facts)), SlipKind.SLOW)


def _outcome(facts: MoveFacts) -> SlipKind:
    if facts.worth.outcome_after < 0:
        return SlipKind.LOST if facts.by_attacker or facts.attacker is None else SlipKind.DRAW_MISSED
    if facts.worth.cause_after in _BY_CAUSE:
        return _BY_CAUSE[facts.worth.cause_after]
    return SlipKind.GIVEN if facts.cost.loses else SlipKind.OUTCOME


def _leaves_w(facts: MoveFacts) -> bool:
    idea = facts.seen.idea(KnightsW)
    return idea is not None and idea.state is WState.LEAVES


def left_corner(facts: MoveFacts) -> bool:
    """Whether the attacking king leaves the corner where mate is given."""
    return facts.man.piece == "king" and Condition.KING_AT_CORNER in facts.seen.broken


def stage_lost(facts: MoveFacts) -> bool:
    """Whether the position falls back to an earlier stage of the same ladder."""
    return falls_back(facts.places.standings_before, facts.places.standings_after)


#: The kinds of slips of the attacker that keep the win and the men, in the order in which they are told as causes.
_ATTACK: tuple[tuple[SlipKind, Callable[[MoveFacts], bool]], ...] = (
    (SlipKind.OUT_OF_CORNER, lambda facts: facts.seen.idea(OutOfCorner) is not None),
    (SlipKind.CAGE, lambda facts: opens_cage(facts.seen)),
    (SlipKind.CHASED_OUT, lambda facts: facts.seen.idea(ChasingCheck) is not None),
    (SlipKind.W_LEFT, _leaves_w),
    (SlipKind.CORNER_LEFT, left_corner),
    (SlipKind.STAGE, stage_lost),
    (SlipKind.WAY, lambda facts: bool(facts.compared.left_open)),
)
