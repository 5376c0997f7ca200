"""The shortest mate when the fifty-move rule forbids the shortest of all.

A search over (position, plies left on the clock) that ends where the clock no longer matters: after a capture or
pawn move, and where the plain distance to mate fits. The plain distance is a lower bound, which cuts most of it.
"""

from __future__ import annotations

from matebot.solver.codes import plies
from matebot.solver.lookup import Stand
from matebot.solver.tables import Tables
from matebot.solver.walk import Step

#: The longest distance to mate in any covered ending (king and rook against king and pawn); a test checks it.
LONGEST_DTM_PLIES = 86
_NODES = 1_500


class _TooMany(Exception):
    """The search would take too long."""


class LateMate:
    """Searches with a budget of positions; a new object has a new budget."""

    def __init__(self, tables: Tables) -> None:
        self._tables = tables
        self._nodes = _NODES
        self._known: dict[tuple[Stand, int], int] = {}

    def mate_plies(self, stand: Stand, left_plies: int) -> int | None:
        """Return the plies to mate of a position won in time, or None when the budget does not suffice.

        Parameters
        ----------
        left_plies : plies until the hundredth without capture or pawn move; at least the position's DTZ
        """
        won = self._tables.value_of(stand).outcome == 1
        try:
            search = self._attack if won else self._defend
            return search(stand, left_plies, 1_000)
        except _TooMany:
            return None

    def _spend(self) -> None:
        self._nodes -= 1
        if self._nodes < 0:
            raise _TooMany

    def _attack(self, stand: Stand, left: int, bound: int) -> int:
        """Fewest plies to mate; a result of at least `bound` only means "not below it"."""
        key = (stand, left)
        if key in self._known:
            return self._known[key]
        self._spend()
        best = bound
        for distance, step in self._sorted(stand, wins=True):
            if distance + 1 >= best:
                break
            if step.zeroing or distance <= left - 1:
                best = distance + 1
            elif self._leg(step) <= left - 1:
                best = min(best, 1 + self._defend(step.child, left - 1, best - 1))
        if best < bound:
            self._known[key] = best
        return best

    def _defend(self, stand: Stand, left: int, bound: int) -> int:
        self._spend()
        worst = 0
        for distance, step in reversed(self._sorted(stand, wins=False)):
            if step.zeroing or distance <= left - 1:
                worst = max(worst, distance + 1)
            else:
                worst = max(worst, 1 + self._attack(step.child, left - 1, bound - 1))
            if worst >= bound:
                break
        return worst

    def _sorted(self, stand: Stand, wins: bool) -> list[tuple[int, Step]]:
        """Return the moves that keep the outcome, with the distances they lead to, nearest mate first."""
        white_winner = stand.white_to_move == wins
        found = [
            (plies(step.code) or 0, step)
            for step in self._tables.steps(stand)
            if (step.code < 127) == white_winner and step.code != 127
        ]
        return sorted(found, key=lambda item: item[0])

    def _leg(self, step: Step) -> int:
        return self._tables.value_of(step.child).dtz_plies or 0
