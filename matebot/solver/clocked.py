"""The shortest mate when the fifty-move rule forbids the shortest of all.

A search over (position, plies left on the clock) that ends where the clock no longer matters: after a capture or
pawn move, and where the plain distance to mate fits. The plain distance is a lower bound, which cuts most of it.
"""

from __future__ import annotations

from collections.abc import Callable

from matebot.solver.codes import plies, white_wins
from matebot.solver.lookup import Stand
from matebot.solver.tables import Tables
from matebot.solver.walk import Step

#: The longest distance to mate in any covered ending (king and rook against king and pawn); a test checks it.
LONGEST_DTM_PLIES = 86
_NODES = 1_500
#: Positions between two looks whether the work is to end.
_BREATH = 64


class _TooMany(Exception):
    """The search would take too long."""


def plain_distance(step: Step) -> int | None:
    """Return the plies to mate after a move, None where it leads to a draw."""
    return plies(step.code)


class LateMate:
    """Searches with a budget of positions; remembers what it found.

    Parameters
    ----------
    distance : gives the plies to mate after a move when the clock is left out, None for a draw
    """

    def __init__(self, tables: Tables, distance: Callable[[Step], int | None] = plain_distance) -> None:
        self._tables = tables
        self._distance = distance
        self._spare = _NODES
        self._nodes = 0
        self._known: dict[tuple[Stand, int], int] = {}
        #: Where only so much is known: mate takes at least so many plies.
        self._at_least: dict[tuple[Stand, int], int] = {}

    def mate_plies(self, stand: Stand, left_plies: int, promised: int | None = None) -> int | None:
        """Return the plies to mate of a position won in time, or None when the budget does not suffice.

        Parameters
        ----------
        left_plies : plies until the hundredth without capture or pawn move; at least the position's DTZ
        promised : plies in which mate is known to come from some of the positions asked about; a mate as short as
            that is searched for with a budget of its own, all longer ones share one budget
        """
        if promised is not None:
            found, _ = self._search(stand, left_plies, promised, _NODES)
            if found is not None:
                return found
        found, self._spare = self._search(stand, left_plies, left_plies + LONGEST_DTM_PLIES, self._spare)
        return found

    def _search(self, stand: Stand, left: int, most: int, nodes: int) -> tuple[int | None, int]:
        """Search for ever longer mates up to a number of plies; return it and what is left of the budget."""
        value = self._tables.value_of(stand)
        attacks = value.outcome == 1
        self._nodes = nodes
        try:
            for bound in range((value.dtm_plies or 0) + 1, most + 2, 2):
                found = self._worth(stand, left, bound, attacks)
                if found < bound:
                    return found, self._nodes
        except _TooMany:
            pass
        return None, self._nodes

    def _worth(self, stand: Stand, left: int, bound: int, attacks: bool) -> int:
        """Return the plies to mate; a result of at least `bound` only means "not below it"."""
        key = stand, left
        if key in self._known:
            return self._known[key]
        if self._at_least.get(key, 0) >= bound:
            return bound
        self._nodes -= 1
        if self._nodes < 0:
            raise _TooMany
        if self._nodes % _BREATH == 0:
            self._tables.heartbeat(0)
        found = (self._attack if attacks else self._defend)(stand, left, bound)
        if found < bound:
            self._known[key] = found
        else:
            self._at_least[key] = bound
        return found

    def _attack(self, stand: Stand, left: int, bound: int) -> int:
        best = bound
        for distance, step in self._sorted(stand):
            if distance + 1 >= best:
                break
            if step.zeroing or distance <= left - 1:
                best = distance + 1
            elif self._leg(step) <= left - 1:
                best = min(best, 1 + self._worth(step.child, left - 1, best - 1, attacks=False))
        return best

    def _defend(self, stand: Stand, left: int, bound: int) -> int:
        worst, moves = 0, self._sorted(stand)
        if len(moves) < len(self._tables.steps(stand)):  # there is a draw
            return bound
        for distance, step in reversed(moves):
            if step.zeroing or distance <= left - 1:
                worst = max(worst, distance + 1)
            else:
                worst = max(worst, 1 + self._worth(step.child, left - 1, bound - 1, attacks=True))
            if worst >= bound:
                break
        return worst

    def _sorted(self, stand: Stand) -> list[tuple[int, Step]]:
        """Return the moves after which the winner still wins, with the distances they lead to, nearest mate first."""
        white = white_wins(self._tables.walk.code(stand))
        found = []
        for step in self._tables.steps(stand):
            distance = self._distance(step)
            if distance is not None and white_wins(step.code) == white:
                found.append((distance, step))
        return sorted(found, key=lambda item: item[0])

    def _leg(self, step: Step) -> int:
        return self._tables.value_of(step.child).dtz_plies or 0
