"""The values under test as the witness of whole arrays asks for them."""

from __future__ import annotations

from collections.abc import Sequence

import chess
import numpy as np

from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from matebot.verification.successors import Places
from tests.witness.positions import Man
from tests.witness.whole import MATE, Scores, Squares

#: Where the tables know of no legal position.
NOWHERE = 2 * MATE
#: By the code of a position, what it is worth to White.
_SCORES = np.zeros(256, np.int16)
_SCORES[:DRAW] = MATE - np.arange(DRAW)
_SCORES[DRAW + 1 : ILLEGAL] = 254 - np.arange(DRAW + 1, ILLEGAL) - MATE
_SCORES[ILLEGAL] = NOWHERE


class Told:
    """Scores read out of solved tables, whole arrays at a time, either colour having the stronger men."""

    def __init__(self, tables: Tables) -> None:
        self._places = Places(tables)

    def __call__(self, men: Sequence[Man], squares: Squares, turn: chess.Color) -> Scores:
        """Return the scores of positions for the side to move, `NOWHERE` where the tables know of no position."""
        names = [(chess.piece_symbol(man).upper(), colour) for man, colour in men]
        sides = ["".join(man for man, owner in names if owner == colour and man != "K") for colour in (True, False)]
        if not any(sides):
            return np.zeros((2, squares.shape[1]), np.int16)
        material, swapped = Material.of(*sides)
        left = list(range(len(names)))
        order = []
        for man, white in (("K", True), ("K", False), *material.men):
            order.append(next(i for i in left if names[i] == (man, white != swapped)))
            left.remove(order[-1])
        placed = (squares ^ 56 if swapped else squares)[order]
        codes = self._places.codes(material, turn != swapped, placed[:2], placed[2:])
        scores = _SCORES[codes]
        return scores if turn != swapped else np.where(scores == NOWHERE, NOWHERE, -scores)
