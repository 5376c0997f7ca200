"""The slow way to the values of an ending in which some positions are worth a draw: all of it solved again.

Without symmetry, since a position is banned and its mirror images are not.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import permutations

from matebot.solver import geometry as geo
from matebot.solver.codes import DRAW, mate_plies, number_of, white_wins
from matebot.solver.lookup import ArrayTable, CanonicalPosition, Reader
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.retrograde import Solver
from matebot.solver.symmetry import WHOLE_BOARD
from matebot.solver.tables import Tables, Value


def alike(stand: CanonicalPosition) -> list[CanonicalPosition]:
    """Return a position with its men in every order that leaves the material the same: two knights have two."""
    material = stand.material
    assert material is not None
    orders = [
        o
        for o in permutations(range(len(stand.men)))
        if all(material.men[i] == material.men[n] for n, i in enumerate(o))
    ]
    return [stand._replace(men=tuple(stand.men[i] for i in order)) for order in orders]


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

    def __init__(self, tables: Tables, material: Material, banned: Iterable[CanonicalPosition]) -> None:
        self.material = material
        self._tables = tables
        self._banned = {image for given in banned for image in alike(given)}
        placement = Placement(material, WHOLE_BOARD)
        sets = {side: placement.empty() for side in (True, False)}
        for stand in self._banned:
            where = tuple(
                square - (8 if man == "P" else 0) for square, (man, _) in zip(stand.men, material.men, strict=True)
            )
            sets[stand.white_to_move][(*where, stand.white_king)] |= geo.BIT[stand.black_king]
        solution = Solver(material, tables.codes, tables.heartbeat, sets, WHOLE_BOARD).solve()
        self._dtm = Reader(material, ArrayTable(solution.metrics[0]), WHOLE_BOARD)
        legs = {side: solution.codes(1, side) for side in (True, False)}
        self._dtz = Reader(material, ArrayTable(legs), WHOLE_BOARD)

    def value_of(self, stand: CanonicalPosition) -> Value:
        """Return the value of a position of this ending (no capture en passant pending), a banned one once entered."""
        if stand in self._banned:
            return self._from_successors(stand)
        where = (stand.white_to_move, stand.white_king, stand.black_king, stand.men)
        code = self._dtm.code(*where)
        if code == DRAW:
            return Value(0, None, None)
        outcome = 1 if white_wins(code) == stand.white_to_move else -1
        return Value(outcome, mate_plies(code, stand.white_to_move), number_of(self._dtz.code(*where)))

    def _from_successors(self, stand: CanonicalPosition) -> Value:
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
