"""What a move of the losing or drawing side tries for a man of its own, or against one of the other side's."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.attacks_man import AttacksMan
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.hanging import Hanging
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.outruns import Outruns
from matebot.ideas.prepares import Next
from matebot.ideas.stalemate_trap import StalemateDeed, StalemateTrap
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.ties_man import TiesMan
from matebot.ideas.trapped import Trapped
from matebot.wording.defence_king import is_mated_soon, outside
from matebot.wording.phrases import listed, other, side, takes_clause
from matebot.wording.said import by_minors, men_on, needs_king, squares

#: So many moves are named one by one.
_FEW = 3
_PAWN = 1
#: So near the mate nothing is hard to find.
_NEAR_MATE = 4


def captures(facts: MoveFacts) -> str:
    """Say what is taken."""
    if not facts.man.captured:
        return ""
    lost = facts.men.attacker_men == ("pawn",) and facts.worth.outcome_after < 0
    wins = ", but the pawn still wins" if lost else ""
    return f"{takes_clause(facts.man.captured, facts.man.victim_guarded)}{wins}"


def attacks(idea: AttacksMan, facts: MoveFacts) -> str:
    """Say what unguarded men are attacked."""
    if idea.loose != idea.squares or is_mated_soon(facts):
        return ""  # to attack what is guarded is no threat
    if idea.men == (_PAWN,) and outside(facts):
        return ""  # it runs
    on = men_on(idea.men, idea.squares)
    needed = ", without which there is no mate" if needs_king(facts) else ""
    return f"attacks {on.replace('the ', 'the unguarded ', 1)}{needed}"


def one_winning(facts: MoveFacts) -> str:
    """Say that the attacker is left one move that wins, unless that takes a man or promotes."""
    contrast, hits = facts.seen.contrast, facts.seen.idea(AttacksMan)
    if hits is None and not facts.men.defender_men and "pawn" not in facts.men.attacker_men:
        return ""  # against a bare king almost anything wins
    if contrast.only_win is None or facts.worth.mate_moves is None:
        return ""
    name = facts.seen.name_after(contrast.only_win)
    if {"x", "="} & set(name) or facts.worth.mate_moves <= _NEAR_MATE:
        return ""
    attacked = f"attacks the {man_name(hits.men[0])} and " if hits is not None and len(hits.men) == 1 else ""
    return f"{attacked}leaves {side(other(facts.turn))} one winning move, {name}"


def traps(idea: Trapped, facts: MoveFacts) -> str:
    """Say what man is trapped."""
    return f"traps the {man_name(idea.man)} on {square_name(idea.square)}"


def stalemate(idea: StalemateTrap, facts: MoveFacts) -> str:
    """Say what trap is set."""
    text = stalemated_by(idea, facts)
    return f"sets a trap: {text}" if text else ""


def stalemated_by(idea: StalemateTrap, facts: MoveFacts) -> str:
    """Say what replies would be stalemate."""
    if idea.deed is not StalemateDeed.SETS:
        return ""
    names = [facts.seen.name_after(reply) for reply in idea.moves[:2]]
    return f"{listed(names, 'or')} would be stalemate"


def threatens(idea: Threatens, facts: MoveFacts) -> str:
    """Say what is threatened."""
    move = facts.seen.name_after(idea.move)
    if idea.threat is Threat.CAPTURE:
        runs = idea.man == _PAWN and outside(facts)
        return (
            "" if is_mated_soon(facts) or runs else f"threatens the {man_name(idea.man)} on {square_name(idea.square)}"
        )
    return f"threatens {'mate' if idea.threat is Threat.MATE else 'to promote'} by {move}"


def checks(facts: MoveFacts) -> str:
    """Say that a check leaves one way to win."""
    only = facts.seen.contrast.one_way if facts.gives.check else None
    return "" if only is None else f"gives check, and only {facts.seen.name_after(only)} wins"


def stands_by(idea: StandsBy, facts: MoveFacts) -> str:
    """Say what is done for a man of his own."""
    contrast, ends = facts.seen.contrast, facts.seen.idea(EndsIn)
    if contrast.falls(idea.square) or contrast.forked(idea.square):
        return ""
    if ends is not None and ends.does is Next.CAPTURE and ends.man == idea.man != _PAWN:
        return ""  # it is saved for a moment only
    if idea.man != _PAWN and len(facts.men.defender_men) == 1 and contrast.kept.man is None:
        return ""  # a check wins it all the same
    if idea.help is Help.GUARDS and not contrast.is_attacked(idea.square) and not contrast.kept.all_else_lose:
        return ""  # nobody is after it
    man, square = man_name(idea.man), square_name(idea.square)
    together = "" if man == "pawn" else f", since king and {man} must stay together"
    if idea.help is Help.RUNS:
        hangs = facts.seen.idea(Hanging)
        if hangs is not None and idea.square in hangs.squares:
            return ""
        return f"runs, {_squares_off(idea.steps)} from promotion" if idea.steps else "promotes"
    if idea.help is Help.SAVES and man == "pawn":
        if not contrast.hang_else:
            return ""  # a shorter one keeps it too
        return f"gets the pawn away for now, {_squares_off(idea.steps)} from promotion"
    return {
        Help.SAVES: f"saves the {man}{_beside_king(idea.steps)}",
        Help.GUARDS: f"guards its {man} on {square}",
        Help.NEARER: f"{_hits(facts)}comes to the help of its {man} on {square}{together}",
    }[idea.help]


def _hits(facts: MoveFacts) -> str:
    """Say that a man nobody guards is attacked as well, which gains the time for it; nothing without one."""
    hits = facts.seen.idea(AttacksMan)
    if hits is None or hits.loose != hits.squares:
        return ""
    return f"attacks the {men_on(hits.men, hits.squares).removeprefix('the ')} and "


def _squares_off(steps: int) -> str:
    return f"{('no', 'one', 'two', 'three', 'four', 'five', 'six')[steps]} square{'' if steps == 1 else 's'}"


def _beside_king(steps: int) -> str:
    """Say how far a man that was saved stands from its king."""
    if steps == 1:
        return ": it stands next to its king"
    return ", though it stands far from its king" if steps > _FEW else ""


def saves(idea: StandsBy, facts: MoveFacts) -> str:
    """Say what is done for a man of his own beyond coming nearer."""
    return "" if idea.help is Help.NEARER else stands_by(idea, facts)


def keeps_man(idea: StandsBy, facts: MoveFacts) -> str:
    """Say what is done for a man of his own beyond coming nearer or running."""
    return "" if idea.help is Help.RUNS else saves(idea, facts)


def at_pawn(idea: AtPawn, facts: MoveFacts) -> str:
    """Say what the king does about the pawn."""
    if is_mated_soon(facts):
        return ""
    if idea.reach is Reach.SQUARE and facts.men.attacker_men != ("pawn",):
        return ""  # it does not run alone
    pawn = square_name(idea.pawn)
    if idea.reach is Reach.NEARER and facts.race.pawn_moves is not None:
        if outside(facts):
            return ""
        if facts.men.attacker_men == ("pawn",):
            return f"goes for the pawn on {pawn}, inside its square: {side(other(facts.turn))}'s king must help it"
    if idea.reach is Reach.NEARER and (idea.steps > idea.to_go or (idea.steps >= _FEW and not _lone_pawn(facts))):
        return ""  # it is promoted first, or too far to matter
    return {
        Reach.IN_FRONT: f"gets in front of the pawn on {pawn}, where it is hardest to pass",
        Reach.SQUARE: f"steps into the square of the pawn on {pawn}{_caught(facts)}",
        Reach.NEARER: f"goes for the pawn on {pawn}{_belongs(facts)}",
    }[idea.reach]


def _lone_pawn(facts: MoveFacts) -> bool:
    return facts.men.attacker_men == ("pawn",)


def _belongs(facts: MoveFacts) -> str:
    return "" if facts.race.pawn_moves is None else ": the king belongs in front of it"


def _caught(facts: MoveFacts) -> str:
    in_time = facts.race.steps_short is not None and not outside(facts)
    return ": left alone the pawn would be caught" if in_time else ""


def too_late(idea: Outruns, facts: MoveFacts) -> str:
    """Say that the pawn runs: the king is outside its square."""
    why = "it promotes next move" if idea.moves == 1 else f"{side(facts.turn)}'s king is outside its square"
    return f"cannot stop the pawn: {why}"


def ties(idea: TiesMan, facts: MoveFacts) -> str:
    """Say that a man is tied to the squares that it alone holds."""
    if not by_minors(facts) or len(idea.holds) > _FEW:
        return ""
    if not facts.seen.contrast.caged:
        return ""  # of a king that is free no man need hold anything
    if facts.seen.contrast.leaves(idea.square, sum(1 << s for s in idea.holds)):
        return ""
    return f"ties the {man_name(idea.man)} down: it alone holds {squares(idea.holds)}"
