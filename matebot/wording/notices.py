"""Short notices of a session: how an answer was found, what rules it, and what was left out of it."""

from __future__ import annotations

from typing import NamedTuple

from matebot.terms import Cause, attacker_moves
from matebot.wording.clock import claim_of


class Notice(NamedTuple):
    """A sentence that is told once a game, and its kind."""

    kind: str
    text: str


#: What makes a mate later -> how that is told.
_DELAYS = {
    Cause.FIFTY_MOVES: "the fifty-move rule",
    Cause.REPETITION: "a third repetition",
    None: "the fifty-move rule or a repetition",
}


def reason(
    cause: str, outcome: int, mate_plies: int | None, value: tuple[int, int | None], delays: Cause | None
) -> Notice | None:
    """Say why the men alone are worth more than the position, None where they are not.

    Parameters
    ----------
    cause, outcome, mate_plies : what the position is worth to the side to move
    value : outcome and plies to mate by the men alone
    delays : the rule that makes a mate later, None where it may be either
    """
    better, plies = value
    if outcome == 0 and plies is not None:
        winner = "the side to move" if better > 0 else "the other side"
        why = {
            Cause.FIFTY_MOVES: "the fifty-move rule comes first",
            Cause.REPETITION: "the third repetition comes first",
        }[Cause(cause)]
        return Notice(cause, f"drawn: {winner} would mate in {attacker_moves(plies, better > 0)}, but {why}")
    if outcome == 0 and cause != Cause.BALANCE:
        return Notice(cause, f"drawn: {cause}")
    if outcome and mate_plies != plies:
        return Notice("longer", f"{_DELAYS[delays]} rules out the shortest mate: a longer one is played")
    return None


def claim(cause: Cause) -> Notice:
    """Say by which rule the game could be over."""
    return Notice("claim", f"{claim_of(cause)}; what follows holds if it is not")


def unsolved(depth: int, mate_is_proved: bool) -> str:
    """Say that a move was looked for because the ending is not solved yet, and how far that can be trusted."""
    if mate_is_proved:
        return "the ending is not solved yet: this mate was found by looking ahead"
    return f"the ending is not solved yet: an estimate, {depth} {'ply' if depth == 1 else 'plies'} ahead"


def shortened() -> str:
    """Say that explanations were left out because the answer was wanted at once."""
    return "explanations shortened: the answer was wanted at once"
