"""What a slower move that does the same would let in: why this one and not that."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.blame import Blame, Lapse
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.shuts_way import Aim
from matebot.ideas.slower_moves import LetsIn
from matebot.ideas.squares import from_edge, king_steps
from matebot.wording.said import beside_rival, goal_of, parse_square, rival_king


def would_let(found: LetsIn, facts: MoveFacts) -> str:
    """Say what a slower move would let in: ``Ng3 would let Kf4 attack the knight``; "" where that is little."""
    what = _let(found.blame, facts)
    return f"{facts.seen.name(found.move)} would let {what}" if what else ""


def _let(blame: Blame, facts: MoveFacts) -> str:
    man = f"the {man_name(blame.man)}"
    if man == "the pawn" and facts.race.runs_alone:
        return ""  # Nobody catches it in any case.
    if blame.attacks or blame.lapse is Lapse.HIT:
        hit = facts.man.piece == man_name(blame.man) and beside_rival(facts)
        return "" if hit else f"{blame.reply} attack {man}"  # it is attacked where it goes as well, and guarded
    if blame.lapse is Lapse.UNGUARDED:
        return f"{blame.reply} go for {man}"
    if blame.lapse is Lapse.MAN_OUT:
        return f"{man} out by {blame.reply}"
    man_at = blame.target if blame.leads is Aim.OWN_MAN else None
    if man_at is not None and any(king_steps(parse_square(goal), man_at) <= 1 for goal in facts.room.flights):
        return ""  # it comes to its man in any case
    if blame.leads is Aim.PAWN and facts.race.runs_alone:
        return ""  # The king comes too late in any case.
    where = _led(blame, facts) if blame.lapse in (Lapse.LET_GO, Lapse.LEFT_OPEN) else ""
    king = rival_king(facts) if facts.man.piece == "king" else "the king"
    return f"{king} {where} by {blame.reply}" if where else ""


def _so_near(blame: Blame) -> str:
    """Return whether the reply comes to stand beside the man, or only nearer."""
    at = parse_square(goal_of(blame.reply))
    return "to" if blame.target is None or king_steps(at, blame.target) <= 1 else "nearer to"


def _led(blame: Blame, facts: MoveFacts) -> str:
    """Say where the king would get: ``off the edge``."""
    goal = "" if blame.target is None else square_name(blame.target)
    man = facts.men.defender_men[0] if facts.men.defender_men else "man"
    return {
        None: "",
        Aim.OWN_MAN: f"come {_so_near(blame)} its {man}",
        Aim.PAWN: f"go for the pawn on {goal}",
        Aim.WRONG_CORNER: f"head for the wrong corner {goal}",
        Aim.CENTRE: "back to the centre" if from_edge(parse_square(facts.room.king)) else "off the edge",
        Aim.OUT_OF_CORNER: f"{'out of' if goal == facts.room.king else 'away from'} the corner {goal}",
    }[blame.leads]
