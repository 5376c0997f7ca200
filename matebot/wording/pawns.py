"""What a good move of the attacker does about pawns, his own or the other side's; one rule an idea."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.bishop_barred import BishopBarred
from matebot.ideas.bridging import Bridging, Step
from matebot.ideas.cuts_from_pawn import CutsFromPawn
from matebot.ideas.holds_pawn import Hold, HoldsPawn
from matebot.ideas.idea import man_name, square_name
from matebot.ideas.pawn_runs import PawnRuns
from matebot.ideas.pawn_step import PawnStep
from matebot.ideas.squares import king_steps
from matebot.ideas.stops_pawn import Stop, StopsPawn
from matebot.ideas.their_man import before_pawn
from matebot.wording import leads, maxims
from matebot.wording.phrases import line_name
from matebot.wording.said import (
    of,
    own_king,
    own_men,
    own_others,
    rival_king,
    rivals_men,
    rivals_square,
    squares,
    stands,
    stood,
)

_TWO_RANKS = 16
#: With so many steps more than the pawn has moves, the other king, to move, comes one move too late.
_NARROW = 2


def holds_pawn(idea: HoldsPawn, facts: MoveFacts) -> str:
    """Say how the other side's pawn is held; nothing of a king that goes elsewhere by a reply as good."""
    front = square_name(before_pawn(idea.pawn, facts.turn == "white"))
    if idea.how is Hold.FORCES and facts.then.goals != (front,):
        return ""
    pawn = f"the pawn on {square_name(idea.pawn)}"
    return {
        Hold.FORCES: "forces the king in front of its pawn: after any other reply the pawn falls",
        Hold.BLOCKS: f"blocks {pawn}",
        Hold.PINS: f"pins {pawn}: it cannot go on",
        Hold.FREE_STEP: "uses the move: the other king stands in front of its pawn, and yours comes a step nearer",
    }[idea.how]


def stops_pawn(idea: StopsPawn, facts: MoveFacts) -> str:
    """Say how bishop or knight stops the pawn."""
    pawn, square = f"the pawn on {square_name(idea.pawn)}", square_name(idea.square)
    return {
        Stop.BLOCKS: f"blocks {pawn}",
        Stop.GUARDS: f"stops {pawn}: {square} is guarded",
        Stop.BACKS: f"guards the man on {square} that blocks the pawn",
    }[idea.how]


def bishop_barred(idea: BishopBarred, facts: MoveFacts) -> str:
    """Say from which squares the king keeps the bishop."""
    return f"keeps the bishop off {squares(idea.posts)}, from where it would stop the pawn"


def bridging(idea: Bridging, facts: MoveFacts) -> str:
    """Say which step of the bridge a move is."""
    rook = square_name(idea.rook)
    return {
        Step.LIFTS: f"lifts the rook to {rook}: from there it covers its king, once that has come out",
        Step.COMES_OUT: "steps out from before the pawn: it is ready to promote",
        Step.COMES_DOWN: f"walks towards the rook on {rook}, which will end the checks",
        Step.BUILDS: f"builds the bridge: the rook on {rook} covers the king, and the pawn is ready to promote",
        Step.BACKS: f"guards the promotion square from {rook}",
    }[idea.step]


def from_pawn(idea: CutsFromPawn, facts: MoveFacts) -> str:
    """Say along which line the king is cut off from the pawn."""
    return f"cuts the king off from the pawn along {line_name(idea.line)}"


def runs(idea: PawnRuns, facts: MoveFacts) -> str:
    """Say that the pawn cannot be caught: a man holds all of its way, or the king is too far off."""
    if man := _held_by(idea, facts):
        last = idea.moves == 1
        way = f"{square_name(idea.goal)}, where it promotes" if last else f"its way to {square_name(idea.goal)}"
        return f"runs home: the {man} guards {way}"
    return f"runs home: {rival_king(facts)} is outside the square of the pawn"


def _held_by(idea: PawnRuns, facts: MoveFacts) -> str:
    """Return which man guards each square before the pawn: any the last one, the king more; "" without one."""
    step, king, goes = facts.seen.idea(PawnStep), own_king(facts), 8 if facts.turn == "white" else -8
    if idea.moves == 1 and step is not None and step.escort is not None:
        return man_name(step.escort)
    way = range(stands(facts) + goes, idea.goal + goes, goes)
    return "king" if all(king_steps(king, square) == 1 for square in way) else ""


def race_maxim(facts: MoveFacts) -> str:
    """Say what a pawn teaches that runs: by how it started, and how narrow the race is."""
    if of(PawnRuns, _held_by)(facts):
        return maxims.GOAL_FIRST
    if abs(stands(facts) - stood(facts)) == _TWO_RANKS:
        return maxims.DOUBLE_STEP
    return maxims.COUNT_THE_RACE if facts.race.steps_short == _NARROW else maxims.RUN_FIRST


def pawn_on(idea: PawnStep, facts: MoveFacts) -> str:
    """Say how a pawn goes on."""
    return leads.pawn_on(facts)


def from_behind(facts: MoveFacts) -> str:
    """Say that a rook has come behind its own pawn, with nothing between them."""
    rook, was, pawns = stands(facts), stood(facts), own_men(facts, "pawn")
    if facts.man.piece != "rook" or len(pawns) != 1 or facts.race.runs_alone:
        return ""
    pawn, sign = pawns[0], 1 if facts.turn == "white" else -1
    ranks = sign * (pawn // 8 - rook // 8)
    if rook % 8 != pawn % 8 or was % 8 == pawn % 8 or ranks <= 0:
        return ""
    between = [rook + sign * 8 * step for step in range(1, ranks)]
    others = {own_king(facts), rivals_square(facts), *own_others(facts), *rivals_men(facts)}
    return "" if others & set(between) else "puts the rook behind its pawn, to push it on"


def stops_from_behind(facts: MoveFacts) -> str:
    """Say that a rook has come behind the other side's only pawn, which it takes once that has promoted."""
    men, rook, white = rivals_men(facts), stands(facts), facts.turn == "white"
    if facts.man.piece != "rook" or facts.men.defender_men != ("pawn",) or rook % 8 != men[0] % 8:
        return ""
    pawn, step = men[0], -8 if white else 8
    goal, between = before_pawn(pawn, white), set(range(rook + step, pawn, step))
    last = goal // 8 == (0 if white else 7)
    others = {own_king(facts), rivals_square(facts), *own_others(facts)} - {rook}
    if not last or (rook > pawn) != white or others & {*between, goal} or king_steps(rivals_square(facts), goal) <= 1:
        return ""
    return f"stops the pawn on {square_name(pawn)} from behind"


def escorted(idea: PawnStep, facts: MoveFacts) -> str:
    """Say so where a man guards its promotion square."""
    return pawn_on(idea, facts) if idea.escort is not None else ""


def _pawn_maxim(idea: PawnStep, facts: MoveFacts) -> str:
    if idea.escort is not None:
        return maxims.GOAL_FIRST
    return maxims.GUARD_AND_PUSH if idea.guard is not None else maxims.CUT_KING if leads.rook_bars(facts) else ""


#: What a step of a pawn teaches.
pawn_maxim: maxims.Maxim = of(PawnStep, _pawn_maxim)
