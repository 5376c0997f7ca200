"""What an ending leads to under the fifty-move rule: wins whose next leg is too long are worth a draw."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from matebot.solver.codes import DRAW, TOO_LONG, code_of
from matebot.solver.conversions import Timed
from matebot.solver.geometry import Codes
from matebot.solver.material import Material

#: No leg of an ending with so many men beside the kings is too long.
_MEN_IN_TIME = 2
_LATE = [code_of(TOO_LONG, winner) for winner in (True, False)]


def timed(
    material: Material,
    codes: Callable[[Material, bool, str], Codes],
    present: Callable[[Material, bool, str], frozenset[int] | None] = lambda child, white_to_move, metric: None,
) -> Timed | None:
    """Return the DTM codes of those an ending leads to with wins that take too long, drawn; None where there are none.

    Parameters
    ----------
    codes : gives the codes of an ending for a side to move and a metric
    present : tells which of them there are where that is quickly known
    """
    late = {}
    for child in material.children():
        if len(child.men) > _MEN_IN_TIME:
            for white_to_move in _after_promotion(material):
                there = present(child, white_to_move, "dtz")
                if there is None or there & set(_LATE):
                    found = _late(codes(child, white_to_move, "dtz"))
                    if found.any():
                        late[child, white_to_move] = found
    if not late:
        return None

    def table(child: Material, white_to_move: bool, known: Codes) -> Codes | None:
        if (child, white_to_move) not in late:
            return None
        bits = np.unpackbits(late[child, white_to_move], axis=-1, count=known.shape[-1])
        return np.where(bits, np.uint8(DRAW), known)

    return table


def _late(legs: Codes) -> NDArray[np.uint8]:
    """Tell where legs are too long, eight to a byte along the last axis; part by part, since there are many."""
    return np.array([np.packbits((part == _LATE[0]) | (part == _LATE[1]), axis=-1) for part in legs])


def _after_promotion(material: Material) -> set[bool]:
    """Return who may be to move after a promotion that takes nothing: only that leads to as many men."""
    return {not white for man, white in material.men if man == "P"}
