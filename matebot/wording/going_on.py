"""What the attacker plays next against a lost defence, where it has no name of its own."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.counters import Counters
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.looms import Looms
from matebot.ideas.prepares import Next
from matebot.ideas.squares import from_edge
from matebot.wording.countering import meets
from matebot.wording.denials import looms, mate_after, mating, named
from matebot.wording.pawn_comes import STOP, at_man, from_behind, king_after, pawn_on
from matebot.wording.phrases import other, side
from matebot.wording.posture import is_merit, posture
from matebot.wording.said import goal_of, men_at, needs_king, of, parse_square, rivals_men, rivals_square


def goes_on(facts: MoveFacts) -> str:
    """Say what the attacker plays next, where it has no name."""
    if not facts.then.ahead:
        return ""
    reply = facts.then.ahead[0]
    goal, sign = parse_square(goal_of(reply)), reply[0]
    rooks = [square for square in rivals_men(facts) if men_at(facts, [square]) == "the rook"]
    does = at_man(rivals_square(facts), goal, facts) if sign == "K" else ""
    if sign == "R" and len(rooks) == 1:
        does = from_behind(rooks[0], goal, facts)
    if does:
        return f"{STOP} {reply}, which {does}"
    if sign.islower() and "x" not in reply:
        return f"{STOP} {pawn_on(reply, facts)}"
    leads = facts.seen.idea(EndsIn)
    if leads is not None and leads.does is Next.MATE:
        return f"{STOP} {mate_after(named(leads.line, facts))}"
    if later := of(Looms, looms)(facts):
        return later
    stands, met = posture(facts), of(Counters, meets)(facts)
    if is_merit(stands) and met:
        return f"{stands}, but {met}"
    if is_merit(stands):
        why = f", {_no_mate(facts)}" if needs_king(facts) and from_edge(king_after(facts)) else ""
        return f"{stands}{why}; {side(other(facts.turn))} now plays {reply}"
    return f"is met by {met.replace(' ', ', which ', 1)}" if met else f"is met by {reply}"


def _no_mate(facts: MoveFacts) -> str:
    """Say what it is good for that the king stands off the edge, as far as it does."""
    if from_edge(king_after(facts)) > 1:
        return f"where {mating(facts)} cannot mate"
    return f"since {mating(facts)} {'mates' if len(facts.men.attacker_men) == 1 else 'mate'} only there"
