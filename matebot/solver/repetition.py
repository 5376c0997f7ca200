"""Values when some positions may not be entered any more because they would occur for the third time.

Such a position is drawn for whoever enters it, its mirror images are not: the ending is solved again without
symmetry, with those positions taken out of every win.
"""

from __future__ import annotations

from collections.abc import Iterable

from matebot.solver.codes import DRAW, plies, white_wins
from matebot.solver.lookup import ArrayTable, Reader, Stand
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.retrograde import Solver
from matebot.solver.symmetry import WHOLE_BOARD
from matebot.solver.tables import Tables, Value


class Exhausted:
    """An ending in which some positions are worth a draw.

    Parameters
    ----------
    banned : positions of the ending in canonical form that have occurred twice
    """

    def __init__(self, tables: Tables, material: Material, banned: Iterable[Stand]) -> None:
        placement = Placement(material, WHOLE_BOARD)
        sets = {side: placement.empty() for side in (True, False)}
        for stand in banned:
            where = tuple(
                square - (8 if man == "P" else 0) for square, (man, _) in zip(stand.men, material.men, strict=True)
            )
            sets[stand.white_to_move][(*where, stand.white_king)] |= placement.bit(stand.black_king)
        solution = Solver(material, tables.codes, banned=sets, reduction=WHOLE_BOARD).solve()
        self.material = material
        self._dtm = Reader(material, ArrayTable(solution.dtm), WHOLE_BOARD)
        self._dtz = Reader(material, ArrayTable(solution.dtz), WHOLE_BOARD)

    def value_of(self, stand: Stand) -> Value:
        """Return the value of a position of this ending (no capture en passant pending)."""
        where = (stand.white_to_move, stand.white_king, stand.black_king, stand.men)
        code = self._dtm.code(*where)
        if code == DRAW:
            return Value(0, None, None)
        outcome = 1 if white_wins(code) == stand.white_to_move else -1
        return Value(outcome, plies(code), plies(self._dtz.code(*where)))
