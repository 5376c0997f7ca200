"""What the attacker plays next against a lost defence, where it has no name of its own."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.counters import Counters
from matebot.ideas.ends_in import EndsIn
from matebot.ideas.idea import man_name
from matebot.ideas.looms import Looms
from matebot.ideas.prepares import Next
from matebot.ideas.reply_deed import Plain
from matebot.ideas.squares import from_edge
from matebot.wording.countering import meets, taught
from matebot.wording.denials import mating, named
from matebot.wording.pawn_comes import STOP, from_behind, king_after
from matebot.wording.phrases import line_name, other, side
from matebot.wording.posture import posture
from matebot.wording.remark import NOTHING, Place, Remark
from matebot.wording.said import (
    goal_of,
    men_at,
    needs_king,
    own_man,
    own_others,
    parse_square,
    rivals_men,
    rivals_square,
    squares,
    stood,
)
from matebot.wording.to_come import comes_at, looms, mate_comes, pawn_comes, taken_at_once


def goes_on(facts: MoveFacts) -> Remark:
    """Say what the attacker plays next, where it has no name."""
    if not facts.then.ahead:
        return NOTHING
    reply = facts.then.ahead[0]
    goal, sign = parse_square(goal_of(reply)), reply[0]
    if man := _takes(reply, goal, facts):
        return taken_at_once(man, reply, facts)
    if sign == "K" and (at := comes_at(rivals_square(facts), goal, reply, facts)):
        return at
    rooks = [square for square in rivals_men(facts) if men_at(facts, [square]) == "the rook"]
    if sign == "R" and len(rooks) == 1 and (does := from_behind(rooks[0], goal, facts)):
        return Remark(f"{STOP} {reply}, which {does}")
    if sign.islower() and "x" not in reply:
        return pawn_comes(reply, facts)
    leads = facts.seen.idea(EndsIn)
    if leads is not None and leads.does is Next.MATE:
        return mate_comes(named(leads.line, facts), facts)
    later = facts.seen.idea(Looms)
    return (NOTHING if later is None else looms(later, facts)) or _is_met(reply, facts)


def _takes(reply: str, goal: int, facts: MoveFacts) -> str:
    """Return the kind of the man that a reply takes where it stood before the move as well; nothing elsewhere."""
    stood_there = goal in own_others(facts) and goal != stood(facts)
    return own_man(facts, goal) if "x" in reply and stood_there else ""


def _is_met(reply: str, facts: MoveFacts) -> Remark:
    """Say what the reply does against the move, and how well it stands."""
    stands, counters, met, lesson = posture(facts), facts.seen.idea(Counters), "", ""
    if counters is not None and (met := meets(counters, facts)):
        lesson = taught(counters, facts)
    if stands.place is Place.MERIT:
        why = f", {_no_mate(facts)}" if needs_king(facts) and from_edge(king_after(facts)) else ""
        comes = f", but {met}" if met else f"{why}; {side(other(facts.turn))} now plays {reply}"
        return Remark(f"{stands.text}{comes}", stands.lesson or lesson, place=Place.MERIT)
    plainly = "" if met else _plainly(reply, facts)
    if stands.place is Place.NO_MERIT and not met and not plainly:
        where = f"{stands.text}, where {mating(facts)} can mate"
        return Remark(f"{where}; {side(other(facts.turn))} now plays {reply}", lesson, place=Place.NO_MERIT)
    return Remark(f"is met by {met.replace(' ', ', which ', 1) if met else f'{reply}{plainly}'}", lesson)


def _plainly(reply: str, facts: MoveFacts) -> str:
    """Say what the reply does on the board: ``, which attacks the pawn``; nothing where that is not seen."""
    deed, king = facts.seen.reply_does(reply), f"{side(facts.turn)}'s king"
    if deed is None:
        return ""
    man = "" if deed.man is None else man_name(deed.man)
    mover = f"{side(other(facts.turn))}'s king" if man == "king" else f"the {man}"
    if deed.shut:
        return f", which shuts {line_name(deed.shut)} to {king}"
    told = {
        Plain.ATTACKS: f"attacks the {man}",
        Plain.GUARDS: f"guards {squares(deed.squares)} on the pawn's way",
        Plain.PINS: f"pins the {man}",
        Plain.DRIVES: f"drives {king} from {squares(deed.squares)}",
        Plain.LEAVES: f"leaves {king} only {squares(deed.squares)}",
        Plain.TAKES: f"takes {squares(deed.squares)} from {king}",
        Plain.NEARS: f"brings {mover} nearer",
    }
    return f", which {told[deed.does]}"


def _no_mate(facts: MoveFacts) -> str:
    """Say what it is good for that the king stands off the edge, as far as it does."""
    if from_edge(king_after(facts)) > 1:
        return f"where {mating(facts)} cannot mate"
    return f"since {mating(facts)} {'mates' if len(facts.men.attacker_men) == 1 else 'mate'} only there"
