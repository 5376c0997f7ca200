"""What a pupil can take along from what a lost defence tries or keeps from the attacker, by the idea that is told."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.at_pawn import AtPawn, Reach
from matebot.ideas.concedes import Concedes
from matebot.ideas.denies import Denied, Denies
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.idea import man_name
from matebot.ideas.lets_at_once import LetsAtOnce
from matebot.ideas.makes_for import Goal, MakesFor
from matebot.ideas.outruns import Outruns
from matebot.ideas.prepares import Next
from matebot.ideas.squares import from_edge
from matebot.ideas.stands_by import Help, StandsBy
from matebot.ideas.stands_out import StandsOut, Trait
from matebot.ideas.threatens import Threat, Threatens
from matebot.ideas.through_hole import ThroughHole
from matebot.ideas.worse import Worse
from matebot.wording import counsel
from matebot.wording.maxims import EVERY_CAPTURE
from matebot.wording.pawn_comes import king_after
from matebot.wording.said import needs_king, parse_square

_PAWN = 1
#: Up to so many steps king and man are together.
_NEAR = 2


def of_capture(facts: MoveFacts) -> str:
    """Return what it teaches that a loose man is taken, where no other could be."""
    told = facts.man.victim_guarded or facts.seen.contrast.takes_else  # it does not tell which
    return "" if told else EVERY_CAPTURE


def of_loose_man(facts: MoveFacts) -> str:
    """Return what it teaches to attack a man that nobody guards, where it is not told what the man is needed for."""
    return "" if needs_king(facts) else counsel.LOOSE


def of_hole(idea: ThroughHole, facts: MoveFacts) -> str:
    """Return what a cage teaches out of which the king gets."""
    return counsel.A_HOLE if idea.reached else ""


def of_threat(idea: Threatens, facts: MoveFacts) -> str:
    """Return what the threat to promote teaches."""
    return "" if idea.threat in (Threat.CAPTURE, Threat.MATE) else counsel.about_pawn(facts)


def of_race(idea: Outruns, facts: MoveFacts) -> str:
    """Return what a pawn teaches that is not caught."""
    if facts.men.attacker_men != ("pawn",):
        return ""  # another man helps it: the square is half the reason
    late = "" if idea.moves == 1 else counsel.IN_THE_SQUARE
    return counsel.out_of_square(facts, late)


def of_own_man(idea: StandsBy, facts: MoveFacts) -> str:
    """Return what is taught by the help for a man."""
    if idea.man == _PAWN:
        return counsel.about_pawn(facts) if idea.help in (Help.GUARDS, Help.NEARER) else ""
    return counsel.belong_together(man_name(idea.man)) if idea.help is Help.GUARDS else ""


def of_their_pawn(idea: AtPawn, facts: MoveFacts) -> str:
    """Return what a king teaches that goes for a pawn, unless it is told where it belongs."""
    told = facts.race.pawn_moves is not None and facts.men.attacker_men != ("pawn",)
    return counsel.in_front(facts) if idea.reach is Reach.NEARER and not told else ""


def of_guarded(facts: MoveFacts) -> str:
    """Return what a king teaches that stays off the edge by its pawn."""
    by_pawn = facts.men.defender_men == ("pawn",) and facts.seen.contrast.leaves_man
    return counsel.about_pawn(facts) if by_pawn else ""


def of_way(idea: MakesFor, facts: MoveFacts) -> str:
    """Return what the goal of a king teaches."""
    if idea.goal is Goal.MAN:
        return counsel.LOOSE
    return counsel.about_pawn(facts) if idea.goal is Goal.OWN_MAN and idea.man == _PAWN else ""


def of_opposition(facts: MoveFacts) -> str:
    """Return what the opposition teaches, or of a bare king what it keeps away."""
    if needs_king(facts):
        return counsel.needed(facts)
    # A piece beside can wait: then nobody must give way.
    return counsel.OPPOSITION if facts.men.attacker_men == ("pawn",) else ""


def of_trait(idea: StandsOut, facts: MoveFacts) -> str:
    """Return what is taught by what all the longest defences have in common."""
    if idea.trait is Trait.TOGETHER:
        contrast, near = facts.seen.contrast, -idea.least <= _NEAR
        return counsel.SECOND_MAN if near and contrast.kept.telling_man and contrast.kept.lost_to else ""
    if idea.trait is Trait.APART:
        return "" if needs_king(facts) else counsel.KEEP_AWAY
    return {
        Trait.CENTRE: of_guarded(facts),
        Trait.CLOSE: counsel.BAR_THE_WAY,
        Trait.PROMOTION: counsel.in_front(facts),
        Trait.AWAY: counsel.FAR_ROOK,
    }.get(idea.trait, "")


def of_little(idea: StandsOut, facts: MoveFacts) -> str:
    """Return what is taught by what little all the longest steps of a bare king have in common."""
    return {
        Trait.ROOM: counsel.only_there(facts),
        Trait.CLOSE: counsel.needed(facts),
        Trait.LOOSE: counsel.LOOSE,
    }.get(idea.trait, "")


def of_what_is_let_in(idea: Denies | Concedes, facts: MoveFacts) -> str:
    """Return what is taught by what another move, or this one, lets the attacker do."""
    if idea.what is Denied.EDGE and needs_king(facts):
        return ""  # it is told that the king can be mated there
    if _is_held_there(idea, facts) and _other_step(idea, facts) is not None:
        return counsel.OFF_THE_EDGE if from_edge(king_after(facts)) else ""
    return {
        Denied.CAPTURE: counsel.NO_GIFTS,
        Denied.FORK: counsel.SECOND_MAN,
        Denied.EDGE: counsel.off_the_edge(facts),
        Denied.BOX: counsel.fewer(facts),
        Denied.ROOM: counsel.fewer(facts) if any(map(from_edge, idea.left)) else counsel.off_the_edge(facts),
    }.get(idea.what, "")


def _is_held_there(idea: Denies | Concedes, facts: MoveFacts) -> bool:
    """Whether it is told that the king is held on the edge."""
    if idea.what is Denied.ROOM:
        lines = {square % 8 for square in idea.left}, {square // 8 for square in idea.left}
        return not any(map(from_edge, idea.left)) and all(len(line) > 1 for line in lines)
    step = _other_step(idea, facts)
    return idea.what is Denied.EDGE and not from_edge(parse_square(facts.room.king) if step is None else step)


def _other_step(idea: Denies | Concedes, facts: MoveFacts) -> int | None:
    """Return where the king would go by the other move that lets something in; None without such a step."""
    by_king = isinstance(idea, Denies) and facts.seen.name(idea.other)[0] == "K"
    return idea.other.to_square if isinstance(idea, Denies) and by_king else None


def of_at_once(idea: LetsAtOnce, facts: MoveFacts) -> str:
    """Return what is taught by what the next best defence lets in."""
    if idea.man is not None:
        return counsel.NO_GIFTS
    room = idea.does in (Next.SHRINKS, Next.BOX)
    return counsel.fewer(facts) if room else counsel.OPPOSITION if idea.does is Next.OPPOSITION else ""


def of_worse(idea: Worse, facts: MoveFacts) -> str:
    """Return what is taught by what the next best defence runs into."""
    if idea.does is Next.MATE:
        return counsel.little_room(facts) if len(idea.line) > 1 else ""
    return counsel.NO_GIFTS if idea.does is Next.CAPTURE and len(idea.line) == 1 else ""


def of_mate(facts: MoveFacts) -> str:
    """Return what a mate teaches that comes with the move after next."""
    leads = facts.seen.idea(EndsIn)
    return counsel.little_room(facts) if leads is not None and len(leads.line) > 1 else ""
