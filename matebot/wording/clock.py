"""What the fifty-move rule and repeated positions do to a game: how much is left, and when a draw may be claimed."""

from __future__ import annotations

from matebot.terms import Cause
from matebot.wording.phrases import bounded, counted, rule_leaves, sentence, side


def claim_of(cause: Cause) -> str:
    """Say that a draw may be claimed by the fifty-move rule or by a repetition."""
    what = "fifty moves are reached" if cause is Cause.FIFTY_MOVES else "the position is repeated a third time"
    return f"{what} and a draw may be claimed"


def claimable(cause: Cause, winner: str | None, shortest: int) -> str:
    """Say that a draw may be claimed, and what the men alone would be worth.

    Parameters
    ----------
    cause : the fifty-move rule or a repetition
    winner, shortest : "white" or "black", the side that the men win for, and in how many moves; None in a draw
    """
    men = f"; the men win for {side(winner)} in {shortest}" if winner else ""
    return sentence(f"{claim_of(cause)}{men}")


def too_late(winner: str, shortest: int, left: int) -> str:
    """Say that the fifty-move rule comes before the mate."""
    leaves = f"leaves {'only ' + counted(left, 'move') if left else 'no move'}"
    return sentence(f"the men win for {side(winner)} in {shortest}, but the fifty-move rule {leaves}")


def tight(left: int, moves: int, exact: bool) -> str:
    """Say that the fifty-move rule leaves little more than the mate takes."""
    return sentence(f"{rule_leaves(left)}; mate takes {bounded(moves, exact)}")
