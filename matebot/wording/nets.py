"""How a good move of the attacker brings mate with the next move or the next but one."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.mating_net import MatingNet
from matebot.ideas.squares import king_steps
from matebot.wording import leads, maxims
from matebot.wording.phrases import line_name
from matebot.wording.said import defender, goal_of, of, squares

#: Mate with the third move.
_SOON = 3


def next_move(idea: MatingNet, facts: MoveFacts) -> str:
    """Say how mate comes with the next move."""
    if not idea.at_once:
        return ""
    alone = idea.forced and idea.by_king and facts.room.squares_taken
    if alone and not (idea.guarded or idea.opposed or facts.gives.check):
        return f"leaves the king only {square_name(idea.reply.to_square)}, where {_names(idea, facts)[1]} mates"
    what = _guards(idea, facts) or _drives(idea, facts)
    if not what and idea.opposed and idea.forced:
        reply, move = _names(idea, facts)
        return f"forces the king into the opposition: after {reply} comes {move}"
    what = what or _closes_in(facts, idea)
    return f"{what}: {_then(what, idea, facts)}"


def next_but_one(idea: MatingNet, facts: MoveFacts) -> str:
    """Say how mate comes with the next move but one."""
    by_method = facts.places.method_moves not in (None, _SOON)
    if idea.at_once or by_method or facts.worth.mate_moves != _SOON or not facts.worth.exact_after:
        return ""
    what = _guards(idea, facts) or _drives(idea, facts) or _closes_in(facts, idea)
    return f"{what}: {_then(what, idea, facts)} and mate next"


def follows(idea: MatingNet, facts: MoveFacts) -> str:
    """Say only what comes after a move: mate with the next move, or the next but one."""
    if idea.at_once or (facts.worth.mate_moves == _SOON and facts.worth.exact_after):
        return f"{_then('', idea, facts)}{'' if idea.at_once else ' and mate next'}"
    return ""


def _maxim(idea: MatingNet, facts: MoveFacts) -> str:
    if idea.guarded:
        both = facts.man.piece == "king" and idea.man != _KING and man_name(idea.man) in facts.men.attacker_men
        return maxims.KING_HOLDS.format(man=man_name(idea.man)) if both else maxims.SQUARES_FIRST
    if facts.gives.check:
        return maxims.CHECK_INTO_NET if idea.by_king else ""
    if idea.opposed and idea.forced:
        if king_steps(idea.square, idea.reply.to_square) > 1:
            return maxims.CHECK_OPPOSED
        return maxims.KING_HOLDS.format(man=man_name(idea.man)) if facts.man.piece == "king" else ""
    if idea.forced and idea.by_king and idea.at_once:
        return maxims.LEAVE_ONE_MOVE
    if not idea.at_once and (leads.comes_up(facts) or (facts.man.piece == "king" and not facts.room.squares_taken)):
        return maxims.king_up(facts)
    return maxims.SQUARES_FIRST if facts.room.squares_taken else ""


#: What a mating net teaches.
maxim: maxims.Maxim = of(MatingNet, _maxim)
_KING = 6


def _names(idea: MatingNet, facts: MoveFacts) -> tuple[str, str]:
    return facts.seen.name_after(idea.reply), facts.seen.name_after(idea.reply, idea.move)


def _then(what: str, idea: MatingNet, facts: MoveFacts) -> str:
    reply, move = _names(idea, facts)
    comes = f"{move} mates" if idea.at_once else move
    if idea.whatever:
        men = facts.men.defender_men
        if not facts.seen.is_written_alike(idea.move):
            goes = "mates on" if idea.at_once else "goes to"
            comes = f"the {man_name(idea.man)} {goes} {square_name(idea.move.to_square)}"
        return f"whatever {f'the {men[0]} does' if len(men) == 1 else f'{defender(facts)} plays'}, {comes}"
    if not idea.forced:
        return f"if {reply}, {move if ' can mate' in what else comes}"
    # That the king goes to the only square left, or is driven there, need not be told.
    driven = idea.by_king and (facts.gives.check or what.endswith(f" only {goal_of(reply)}"))
    return f"then {comes}" if driven else f"{reply} is forced, {'and' if idea.at_once else 'then'} {comes}"


def _guards(idea: MatingNet, facts: MoveFacts) -> str:
    """Say which squares the move guards for the mate, after where a check drives the king."""
    if not idea.guarded:
        return ""
    if idea.square in idea.guarded:
        will = "will" if idea.forced else "can"  # After another reply it may mate elsewhere.
        return f"guards {square_name(idea.square)}, where the {man_name(idea.man)} {will} mate"
    covers = f"shuts {line_name(idea.along[0])}" if len(idea.along) == 1 else f"covers {squares(idea.guarded)}"
    driven = leads.driven(facts) if idea.by_king else ""
    return f"{driven} and {covers}" if driven else covers


def _drives(idea: MatingNet, facts: MoveFacts) -> str:
    """Say where a check drives the king."""
    if not idea.by_king:
        return ""
    return leads.driven(facts) or ("drives the king into the mate" if idea.at_once and facts.gives.check else "")


def _closes_in(facts: MoveFacts, idea: MatingNet) -> str:
    """Say what a quiet move does to the net."""
    taken, up = leads.taken(facts), "" if idea.at_once else leads.comes_up(facts)
    if up:
        return f"{up} and {taken}" if taken else up
    if not taken and facts.man.piece == "pawn":
        return "brings the pawn on"  # The mate needs the step.
    return taken or ("closes in" if facts.man.piece == "king" and not idea.at_once else "waits")
