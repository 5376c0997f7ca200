"""How a good move of the attacker brings mate with the next move or the next but one."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.mating_net import MatingNet
from matebot.wording import leads, maxims
from matebot.wording.phrases import line_name, listed
from matebot.wording.said import squares

#: Mate with the third move.
_SOON = 3


def next_move(idea: MatingNet, facts: MoveFacts) -> str:
    """Say how mate comes with the next move."""
    if not idea.at_once:
        return ""
    alone = idea.forced and idea.by_king and facts.room.squares_taken
    if alone and not (idea.guarded or idea.opposed or facts.gives.check):
        return f"leaves the king only {square_name(idea.reply.to_square)}, where {_names(idea, facts)[1]} mates"
    what = _guards(idea) or _drives(idea, facts)
    if not what and idea.opposed and idea.forced:
        reply, move = _names(idea, facts)
        return f"forces the king into the opposition: after {reply} comes {move}"
    return f"{what or _closes_in(facts, idea)}: {_then(idea, facts)}"


def next_but_one(idea: MatingNet, facts: MoveFacts) -> str:
    """Say how mate comes with the next move but one."""
    by_method = facts.places.method_moves not in (None, _SOON)
    if idea.at_once or by_method or facts.worth.mate_moves != _SOON or not facts.worth.exact_after:
        return ""
    return f"{_guards(idea) or _drives(idea, facts) or _closes_in(facts, idea)}: {_then(idea, facts)} and mate next"


def maxim(facts: MoveFacts) -> str:
    """Say what a mating net teaches."""
    idea = facts.seen.idea(MatingNet)
    if idea is None:
        return ""
    if idea.guarded:
        both = facts.man.piece == "king" and idea.man != _KING
        return maxims.KING_HOLDS.format(man=man_name(idea.man)) if both else maxims.SQUARES_FIRST
    if facts.gives.check:
        return maxims.CHECK_INTO_NET if idea.by_king else ""
    if idea.opposed and idea.forced:
        return maxims.CHECK_OPPOSED
    if idea.forced and idea.by_king and idea.at_once:
        return maxims.LEAVE_ONE_MOVE
    if not idea.at_once and leads.comes_up(facts):
        return maxims.king_up(facts)
    return maxims.SQUARES_FIRST if facts.room.squares_taken else ""


_KING = 6


def _names(idea: MatingNet, facts: MoveFacts) -> tuple[str, str]:
    assert facts.seen.move is not None
    return facts.seen.name(facts.seen.move, idea.reply), facts.seen.name(facts.seen.move, idea.reply, idea.move)


def _then(idea: MatingNet, facts: MoveFacts) -> str:
    reply, move = _names(idea, facts)
    if idea.forced and idea.by_king and facts.gives.check and not _guards(idea) and not idea.at_once:
        return f"then {move}"
    return f"after the forced {reply} comes {move}" if idea.forced else f"if {reply}, {move}"


def _guards(idea: MatingNet) -> str:
    """Say which squares the move guards for the mate."""
    if not idea.guarded:
        return ""
    if idea.square in idea.guarded:
        return f"guards {square_name(idea.square)}, where the {man_name(idea.man)} will mate"
    if len(idea.along) == 1:
        return f"shuts {line_name(idea.along[0])} for the mate"
    return f"guards {squares(idea.guarded)} for the mate"


def _drives(idea: MatingNet, facts: MoveFacts) -> str:
    """Say where a check drives the king."""
    if not idea.by_king:
        return ""
    return "drives the king into the mate" if idea.at_once and facts.gives.check else leads.driven(facts)


def _closes_in(facts: MoveFacts, idea: MatingNet) -> str:
    """Say what a quiet move does to the net."""
    squares, up = facts.room.squares_taken, not idea.at_once and leads.comes_up(facts)
    if up:
        return f"{up} and takes {listed(squares)}" if squares else up
    if squares and len(facts.room.flights) == 1:
        return f"leaves the king only {facts.room.flights[0]}"
    return leads.taken(facts) or ("closes in" if facts.man.piece == "king" and not idea.at_once else "waits")
