"""What is beside the single move: the stage's aim, what to expect, the trap to avoid, the count of the game."""

from __future__ import annotations

from collections.abc import Sequence

from matebot.facts.move_facts import MoveFacts
from matebot.method.standing import Standing
from matebot.terms import CLAIM_PLIES, Cause, attacker_moves
from matebot.wording.phrases import bounded, counted, listed, rule_leaves, sentence, side


def heading(standing: Standing) -> str:
    """Return the title of a stage: ``Stage 2 of 4: drive the king to the edge``."""
    return f"Stage {standing.stage} of {standing.stages}: {standing.title}"


def aim(standing: Standing) -> str:
    """Return what the attacker wants in a stage."""
    return sentence(f"aim: {standing.aim}")


def trap(standing: Standing) -> str:
    """Return what to beware of in a stage."""
    return sentence(f"beware: {standing.trap}")


def outside(ladder: str) -> str:
    """Say that a won position is in no zone of a ladder of its ending."""
    return f"By {ladder}: in none of its zones; explained without it."


def unsolved(ladder: str, ending: str) -> str:
    """Say that the ladder of an ending is not at hand."""
    return f"By {ladder}: not solved yet; `matebot method {ending}` solves and keeps it."


def by_method(facts: MoveFacts) -> str:
    """Return how the method compares with the shortest mate.

    Nothing where the fifty-move rule comes before it, or where the shortest way is known only as a bound.
    """
    standing = facts.places.standings_after[0] if facts.places.standings_after else None
    if standing is None or facts.worth.mate_moves is None or not facts.worth.exact_after:
        return ""
    if facts.counts.clock_plies + standing.rung.plies > CLAIM_PLIES:
        return ""
    moves = standing.moves + (facts.worth.outcome_after > 0)  # counted, as everywhere, from before the move
    if moves == facts.worth.mate_moves:
        return sentence(f"the method mates in {moves}, as fast as can be")
    return sentence(f"the method mates in {moves}, the shortest way in {facts.worth.mate_moves}")


def position(turn: str, outcome: int, cause: Cause, mate_plies: int | None, exact: bool, men: Sequence[str]) -> str:
    """Say what a position is worth to whom.

    Parameters
    ----------
    turn : "white" or "black", the side to move
    outcome, mate_plies, exact : the value for that side
    men : kinds of the men beside the kings
    """
    mover, rival = side(turn), side("black" if turn == "white" else "white")
    if cause is Cause.CHECKMATE:
        return f"{mover} is checkmated."
    if outcome == 0 or mate_plies is None:
        why = {Cause.BALANCE: "neither side can force mate", Cause.FIFTY_MOVES: "the fifty-move rule comes first"}
        return f"Drawn: {dead(men) if cause is Cause.DEAD_POSITION else why.get(cause, cause)}."
    moves = attacker_moves(mate_plies, outcome > 0)
    winner = mover if outcome > 0 else rival
    return f"{winner} mates in {bounded(moves, exact)}, {mover} to move."


def dead(men: Sequence[str]) -> str:
    """Say plainly why men cannot mate.

    Parameters
    ----------
    men : kinds of all men beside the kings
    """
    if not men:
        return "only the kings are left, and nobody can win"
    if len(men) == 1:
        return f"king and {men[0]} alone cannot mate"
    return "these men cannot mate, whatever is played"


def expected(moves: Sequence[str]) -> str:
    """Return the moves to expect (SAN), best play on both sides."""
    return sentence(f"expect {' '.join(moves)}")


def tally(lost: int, known: bool, wins: int, draws: int, left: int) -> str:
    """Return the running count for a side.

    Parameters
    ----------
    lost, known : moves lost so far; False where some moves could not be compared
    wins, draws : how often a win or a draw was given away
    left : moves left under the fifty-move rule
    """
    given = [f"the {what} given away {_times(times)}" for what, times in (("win", wins), ("draw", draws)) if times]
    count = f"{'' if known else 'at least '}{counted(lost, 'move')} lost"
    return sentence(f"so far {listed([count, *given])}; {rule_leaves(left)}")


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def without_ladder(ending: str) -> str:
    """Say that an ending has no ladder."""
    return sentence(f"there is no ladder of stages for {ending}: moves are explained by outcome and distance")


def stages_not_yet(ending: str) -> str:
    """Say that the stages of an ending are not solved in the time there is."""
    return sentence(f"the stages of {ending} are still being worked out: the move is explained without them")


def repeatable(seed: int) -> str:
    """Say by which seed the changing defence can be repeated."""
    return f"changing defence with seed {seed}"
