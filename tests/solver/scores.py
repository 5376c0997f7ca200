"""The values under test as the witness of whole arrays asks for them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import chess
import numpy as np

from matebot.solver.codes import ILLEGAL, mate_plies, number_of, white_wins
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.tables import METRICS, Tables
from matebot.verification.successors import BothCodes, TablePlaces
from tests.witness.positions import Man
from tests.witness.whole import MATE, Scores, Squares

#: Where the tables know of no legal position.
NOWHERE = 2 * MATE


def _scores(white_to_move: bool) -> Scores:
    """Return what each code is worth to White, as a distance to mate and as a leg; shape (2, 256)."""
    found = np.zeros((2, 256), np.int16)
    for code in range(ILLEGAL):
        sign = 1 if white_wins(code) else -1
        for metric, plies in enumerate((mate_plies(code, white_to_move), number_of(code))):
            found[metric, code] = 0 if plies is None else sign * (MATE - plies)
    found[:, ILLEGAL] = NOWHERE
    return found


_SCORES = {side: _scores(side) for side in (True, False)}


class WholeRows(TablePlaces):
    """As `TablePlaces`, but rows of five men are unpacked whole and kept for a while: for those who ask for all."""

    def _by_rows(self, material: Material, white_to_move: bool, rows: Squares, places: Squares) -> BothCodes:
        found = np.empty((len(METRICS), len(rows)), np.uint8)
        for number in np.unique(rows).tolist():
            those = rows == number
            for codes, metric in zip(found, METRICS, strict=True):
                codes[those] = self._whole(material, white_to_move, number, metric)[places[those]]
        return found

    @lru_cache(maxsize=512)  # noqa: B019 - it goes with the tests that asked
    def _whole(self, *row: *tuple[Material, bool, int, str]) -> Codes:
        return self.tables.whole_row(*row)


class Told:
    """Scores read out of solved tables, whole arrays at a time, either colour having the stronger men."""

    def __init__(self, tables: Tables) -> None:
        self._places = WholeRows(tables)

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
        white = turn != swapped
        codes = self._places.codes(material, white, placed[:2], placed[2:])
        scores = np.stack([_SCORES[white][metric][codes[metric]] for metric in range(2)])
        return scores if white else np.where(scores == NOWHERE, NOWHERE, -scores)
