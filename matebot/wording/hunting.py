"""What a step of the attacking king does against the other side's only man."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.king_up import HeldBy, KingUp
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.minor_lost import MinorLost
from matebot.ideas.nears_man import NearsMan
from matebot.ideas.pins import Pins
from matebot.ideas.prepares import Next
from matebot.ideas.shuts_way import Aim, ShutsWay
from matebot.ideas.squares import king_steps
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.trapped import Trapped
from matebot.wording import maxims, room_left
from matebot.wording.said import mated_within, of, own_man, parse_square, rivals_square, stands

#: Two moves of each side.
_TWO_MOVES = 4
#: So many moves from mate no man need be won first.
_NEAR_MATE = 6
#: From so many steps a king guards its man with the next.
_NEAR = 2


def attacks(idea: NearsMan, facts: MoveFacts) -> str:
    """Say which man the king attacks; nothing of one that it only goes for."""
    return nears_man(idea, facts) if _hits(idea, facts) else ""


def _hits(idea: NearsMan, facts: MoveFacts) -> bool:
    """Whether the king has come to a man that its king does not guard, or that a lone queen or king hunts."""
    alone = idea.inside is None and (_hunts_alone(facts) or _queen_hunts(facts))
    return idea.steps <= 1 and (idea.from_king > 1 or alone)


def _queen_hunts(facts: MoveFacts) -> bool:
    """Whether a lone queen, against no rook, is after the man with its king."""
    return facts.men.attacker_men == ("queen",) and facts.men.defender_men != ("rook",)


def nears_man(idea: NearsMan, facts: MoveFacts) -> str:
    """Say for which man the king goes, and how that man stands."""
    man = f"the {man_name(idea.man)} on {square_name(idea.square)}"
    if _net_is_shut(facts) or not _helps(idea, facts):
        return ""  # The mate is nearer than the man, or another man takes it.
    if _hits(idea, facts):
        return f"attacks {man}"
    escorted = idea.inside is not None and idea.from_king <= idea.steps
    if takes_alone(facts) and facts.men.attacker_men == ("rook",) and idea.inside is not None and not idea.inside:
        return ""
    if escorted and facts.men.attacker_men == ("rook",):
        return f"comes to help the rook against {man}"  # Its king helps the pawn past a king inside its square.
    if idea.inside and before(idea, facts):
        return f"stands in the way of {man}"
    if idea.inside:
        held = facts.ways.held_from
        by = f", which the {own_man(facts, parse_square(held[0]))} holds from {held[0]}" if held else ""
        return f"goes for {man}{by or ': the king is inside its square'}"
    if idea.inside is not None:
        rook = facts.men.attacker_men == ("rook",)
        if "queen" in facts.men.attacker_men:
            return ""  # The queen holds it without the king.
        return f"comes to help the rook against {man}" if rook else f"hurries to stop {man}"
    if _hunts_alone(facts) or idea.from_king > 1 or _queen_hunts(facts):
        return ""  # A king does not run down a piece; a man far from its king falls to another man, or mate is nearer.
    return f"brings the king up against king and {man_name(idea.man)}"


def takes_alone(facts: MoveFacts) -> bool:
    """Whether the other side's man falls on a best line without another step of the king that moved."""
    leads_on = facts.seen.idea(LeadsTo)
    if leads_on is None or leads_on.does is not Next.CAPTURE:
        return False
    return all(move.from_square != stands(facts) for move in leads_on.line[1::2])


def before(idea: NearsMan, facts: MoveFacts) -> bool:
    """Whether the king stands on the pawn's file now, before it on its way."""
    king = stands(facts)
    return king % 8 == idea.square % 8 and (king > idea.square) == (facts.turn == "black")


def trapped(idea: Trapped, facts: MoveFacts) -> str:
    """Say which man cannot get away."""
    man = f"the {man_name(idea.man)} on {square_name(idea.square)}"
    return f"pins {man} against its king, and it falls" if idea.pinned else f"traps {man}: it is lost wherever it goes"


def _trapped_maxim(idea: Trapped, facts: MoveFacts) -> str:
    return maxims.PINNED_STAYS if idea.pinned else maxims.NO_SQUARE


#: What a man teaches that cannot get away.
trapped_maxim: maxims.Maxim = of(Trapped, _trapped_maxim)


def pins(idea: Pins, facts: MoveFacts) -> str:
    """Say which man is held fast."""
    return f"pins the {man_name(idea.man)} on {square_name(idea.square)} against its king"


def _helps(idea: NearsMan, facts: MoveFacts) -> bool:
    """Whether the king helps to take a man that it does not stand beside yet; a rook's it cannot but help."""
    together = idea.from_king <= 1 and man_name(idea.man) != "pawn"
    if idea.steps <= 1 or together or (idea.inside is not None and _hunts_alone(facts)):
        return True  # It stands there, comes against both, or has no other man that could stop a pawn.
    return facts.seen.slower_moves.hunts(idea.square)


def _hunts_alone(facts: MoveFacts) -> bool:
    """Whether the king has no piece that can stop a pawn without it."""
    return set(facts.men.attacker_men) <= {"pawn"}


def _net_is_shut(facts: MoveFacts) -> bool:
    """Whether the king comes up to a cage in which the other king is soon mated."""
    up = facts.seen.idea(KingUp)
    near = mated_within(facts, _NEAR_MATE)
    return near and up is not None and up.held_by is HeldBy.CAGE


def _man_maxim(idea: NearsMan, facts: MoveFacts) -> str:
    if idea.inside and before(idea, facts):
        return maxims.BEFORE_IT
    if idea.inside:
        return maxims.INSIDE_SQUARE if _hunts_alone(facts) else maxims.ATTACK_TOGETHER
    return maxims.ATTACK_TOGETHER if (idea.inside is None and idea.from_king <= 1) or idea.steps <= 1 else ""


#: What going for a man teaches.
man_maxim: maxims.Maxim = of(NearsMan, _man_maxim)


def minor_lost(idea: MinorLost, facts: MoveFacts) -> str:
    """Say why the rook wins against a minor piece here."""
    if idea.covered:
        return ""  # It is told before.
    if idea.corner is None and facts.man.piece == "king" and king_steps(stands(facts), idea.square) == 1:
        return f"attacks the knight on {square_name(idea.square)}, which is away from its king"
    if idea.corner is None:
        return _knight_lost(square_name(idea.square), facts)
    leads = facts.seen.idea(LeadsTo)
    if leads is not None and leads.does is Next.CAPTURE and len(leads.line) <= _TWO_MOVES:
        return ""  # how it is won says more
    return f"keeps the king by {square_name(idea.corner)}, a corner of the bishop's colour: there the rook wins"


def dominated(idea: MinorLost, facts: MoveFacts) -> str:
    """Say that a knight has no safe square left."""
    at = square_name(idea.square)
    return f"leaves the knight on {at} no safe square: away from its king it is lost" if idea.covered else ""


def king_comes(man: int, facts: MoveFacts) -> bool:
    """Whether the other king has a step from where it guards a man of its side with the next."""
    return any(king_steps(parse_square(goal), man) <= _NEAR for goal in facts.room.flights)


def _knight_lost(at: str, facts: MoveFacts) -> str:
    """Say what the move does to a knight away from its king, and that it is lost."""
    if facts.gives.check and room_left.held_on_edge(facts):
        return f"{room_left.holds(facts)}, away from its knight on {at}"
    if forks := _forks_next(at, facts):
        return f"leaves the knight on {at} away from its king: {forks}"
    threat, way, hunts = facts.seen.idea(Threatens), facts.seen.idea(ShutsWay), facts.seen.idea(NearsMan)
    if threat is not None and threat.threat is Threat.CAPTURE:
        return f"attacks the knight on {at}, which is away from its king"
    if way is not None and way.aim is Aim.OWN_MAN and way.last:
        return f"keeps the king from its knight on {at}: away from its king it is lost"
    if hunts is not None and facts.seen.slower_moves.hunts(hunts.square):
        return f"goes after the knight on {at}: away from its king it is lost"
    if king_comes(parse_square(at), facts):
        return ""  # it is not yet won
    return f"leaves the knight on {at} away from its king, where it is lost"


def _forks_next(at: str, facts: MoveFacts) -> str:
    """Say by which check a knight is forked with its king after the reply that lasts longest; nothing without one."""
    leads_on = facts.seen.idea(LeadsTo)
    if leads_on is None or len(leads_on.line) != _TWO_MOVES or leads_on.does is not Next.CAPTURE:
        return ""
    assert facts.seen.move is not None
    reply, check, _, capture = leads_on.line
    name = facts.seen.name(facts.seen.move, reply, check)
    hit = capture.from_square == check.to_square and square_name(capture.to_square) == at and name.endswith("+")
    king = reply.to_square if reply.from_square == rivals_square(facts) else rivals_square(facts)
    apart = king_steps(check.to_square, capture.to_square)
    through = king_steps(check.to_square, king) + king_steps(king, capture.to_square) == apart
    blow = "skewers" if through else "forks"
    return f"if {facts.seen.name(facts.seen.move, reply)}, {name} {blow} king and knight" if hit else ""
