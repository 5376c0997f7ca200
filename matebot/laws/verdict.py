"""The outcome of a position under the laws, and why."""

from __future__ import annotations

from typing import NamedTuple

from matebot.solver.lookup import Value
from matebot.terms import Cause

#: Endings of the game and reasons for its outcome, the words used everywhere.
CAUSES = tuple(str(cause) for cause in Cause)
#: Causes that end the game at once.
FINAL = frozenset({"checkmate", "stalemate", "dead position"})


class Verdict(NamedTuple):
    """The exact outcome for the side to move; one is made for every move ranked, so it is a tuple.

    Attributes
    ----------
    outcome : 1 wins, 0 drawn, -1 loses
    mate_plies : plies to mate, None when drawn; an upper bound when `exact` is False (see `referee`)
    cause : one of `CAUSES`; "forced" for a win or loss that is not yet mate, "balance" for a draw by the position
    value : the value without clock and history
    """

    outcome: int
    mate_plies: int | None
    exact: bool
    cause: str
    value: Value
