"""Values when some positions may not be entered any more because they would occur for the third time.

Such a position is drawn for whoever enters it, its mirror images are not. Mostly that changes the values of
few others, which are found from there (`Changes`); else the ending is solved again without symmetry, with those
positions taken out of every win (`Exhausted`).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from itertools import permutations

from matebot.solver.codes import DRAW, plies, white_wins
from matebot.solver.lookup import ArrayTable, Reader, Stand
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.retrograde import Solver
from matebot.solver.symmetry import WHOLE_BOARD
from matebot.solver.tables import Tables, Value
from matebot.solver.walk import Step

#: Positions whose value is worked out anew before the ending is solved instead, which then takes no longer.
_NODES = 2_000
#: Positions between two looks whether the work is to end.
_BREATH = 64
#: A distance that has grown by more plies is taken for a draw until it is known better.
_PATIENCE = 6
#: The most plies a code of a solved ending holds; `Exhausted` knows no more either.
_LONGEST = 126
#: A distance that stands for a draw.
_NEVER = 1_000


def alike(stand: Stand) -> list[Stand]:
    """Return a position with its men in every order that leaves the material the same: two knights have two."""
    material = stand.material
    assert material is not None
    orders = [
        o
        for o in permutations(range(len(stand.men)))
        if all(material.men[i] == material.men[n] for n, i in enumerate(o))
    ]
    return [stand._replace(men=tuple(stand.men[i] for i in order)) for order in orders]


class _TooMuch(Exception):
    """Following the changes would take longer than solving."""


class Changes:
    """Which positions are worth something else when some may not be entered, and what: followed back from those.

    A position changes only where the one its value rests on has changed, so mostly there are few. First they are
    found: distances grow until all agree with those one move later, and one that grows for long is taken for a draw.
    Then the distances of those found are worked out anew: from the positions around them, which are sure not to have
    changed, down to where they agree again.

    Parameters
    ----------
    banned : positions of one ending in canonical form that have occurred twice
    """

    def __init__(self, tables: Tables, banned: Iterable[Stand]) -> None:
        self._tables = tables
        self.banned = {image for given in banned for image in alike(given)}
        #: Plies to mate after entering a position, where they may have changed; `_NEVER` where it is drawn.
        self._plies: dict[Stand, int] = dict.fromkeys(self.banned, _NEVER)
        self._nodes = _NODES
        try:
            self._find()
            self._settle()
        except _TooMuch:
            self._nodes = 0

    @property
    def complete(self) -> bool:
        """Whether all changes were found."""
        return self._nodes > 0

    def mate_plies(self, stand: Stand) -> int | None:
        """Return the plies to mate of a position won or lost without the ban, None when it is drawn now.

        To be asked when the changes are `complete`, of positions of the ending, banned ones too.
        """
        found = self._from_successors(stand)
        return None if found >= _NEVER else found

    def distance(self, step: Step) -> int | None:
        """Return the plies to mate after a move, None where it leads to a draw; see `clocked`."""
        changed = None if step.zeroing else self._plies.get(step.child)
        return None if changed == _NEVER else plies(step.code) if changed is None else changed

    def _find(self) -> None:
        waiting = deque((stand, self._plain(stand), _NEVER) for stand in self.banned if self._plain(stand) < _NEVER)
        while waiting:
            stand, was, now = waiting.popleft()
            for before in self._resting_on(stand, was, now):
                self._spend()
                plain, plies_now = self._plain(before), self._from_successors(before)
                if plies_now > plain + _PATIENCE:
                    plies_now = _NEVER
                plies_before = self._plies.get(before, plain)
                if plies_now > plies_before:
                    self._plies[before] = plies_now
                    waiting.append((before, plies_before, plies_now))

    def _plain(self, stand: Stand) -> int:
        found = plies(self._tables.walk.code(stand))
        return _NEVER if found is None else found

    def _resting_on(self, stand: Stand, was: int, now: int) -> Iterator[Stand]:
        """Yield the positions one move earlier whose distance may grow when one grows from `was` to `now` plies."""
        white = white_wins(self._tables.walk.code(stand))
        for before in self._tables.walk.before(stand):
            code = self._tables.walk.code(before)
            if code != DRAW and white_wins(code) == white and before not in self.banned:
                plies_before = self._plies.get(before, plies(code) or 0)
                attacks = before.white_to_move == white
                if plies_before == was + 1 if attacks else plies_before < now + 1:
                    yield before

    def _settle(self) -> None:
        waiting = deque(stand for stand in self._plies if stand not in self.banned)
        self._plies = dict.fromkeys(self._plies, _NEVER)
        while waiting:
            stand = waiting.popleft()
            self._spend()
            plies_now = self._from_successors(stand)
            if plies_now < self._plies[stand]:
                self._plies[stand] = plies_now
                before = self._tables.walk.before(stand)
                waiting.extend(other for other in before if other in self._plies and other not in self.banned)

    def _spend(self) -> None:
        self._nodes -= 1
        if self._nodes <= 0:
            raise _TooMuch
        if self._nodes % _BREATH == 0:
            self._tables.heartbeat(0)

    def _from_successors(self, stand: Stand) -> int:
        steps = self._tables.remembered_steps(stand)
        white = white_wins(self._tables.walk.code(stand))
        if stand.white_to_move != white:
            return max((self._after(step, white) for step in steps), default=0)
        return min((self._after(step, white) for step in steps), default=_NEVER)

    def _after(self, step: Step, white: bool) -> int:
        """Return the plies to mate by the winner from before a move; `_NEVER` where it leads to a draw or worse."""
        distance = self.distance(step)
        if distance is None or white_wins(step.code) != white:
            return _NEVER
        return distance + 1 if distance < _LONGEST else _NEVER


class Exhausted:
    """An ending in which some positions are worth a draw.

    Parameters
    ----------
    banned : positions of the ending in canonical form that have occurred twice

    Raises
    ------
    Stopped
        by the tables, when the work is to end
    """

    def __init__(self, tables: Tables, material: Material, banned: Iterable[Stand]) -> None:
        self.material = material
        self._tables = tables
        self._banned = {image for given in banned for image in alike(given)}
        placement = Placement(material, WHOLE_BOARD)
        sets = {side: placement.empty() for side in (True, False)}
        for stand in self._banned:
            where = tuple(
                square - (8 if man == "P" else 0) for square, (man, _) in zip(stand.men, material.men, strict=True)
            )
            sets[stand.white_to_move][(*where, stand.white_king)] |= placement.bit(stand.black_king)
        solution = Solver(material, tables.codes, tables.heartbeat, sets, WHOLE_BOARD).solve()
        self._dtm = Reader(material, ArrayTable(solution.dtm), WHOLE_BOARD)
        self._dtz = Reader(material, ArrayTable(solution.dtz), WHOLE_BOARD)

    def value_of(self, stand: Stand) -> Value:
        """Return the value of a position of this ending (no capture en passant pending), a banned one once entered."""
        if stand in self._banned:
            return self._from_successors(stand)
        where = (stand.white_to_move, stand.white_king, stand.black_king, stand.men)
        code = self._dtm.code(*where)
        if code == DRAW:
            return Value(0, None, None)
        outcome = 1 if white_wins(code) == stand.white_to_move else -1
        return Value(outcome, plies(code), plies(self._dtz.code(*where)))

    def _from_successors(self, stand: Stand) -> Value:
        found: list[tuple[int, int, int]] = []
        for step in self._tables.steps(stand):
            if not step.zeroing and step.child in self._banned:
                found.append((0, 0, 0))
                continue
            child = (self._tables if step.zeroing else self).value_of(step.child)
            if child.dtm_plies is None or child.dtz_plies is None:
                found.append((0, 0, 0))
                continue
            leg = 1 if step.zeroing or child.dtm_plies == 0 else 1 + child.dtz_plies
            found.append((-child.outcome, 1 + child.dtm_plies, leg))
        best = max((outcome for outcome, _, _ in found), default=0)
        if best == 0:
            return Value(0, None, None)
        choose = min if best > 0 else max
        kept = [(dtm, leg) for outcome, dtm, leg in found if outcome == best]
        return Value(best, choose(dtm for dtm, _ in kept), choose(leg for _, leg in kept))
