"""Where the clock rules out the shortest mate, an exact number that has been announced is kept."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from random import Random

import chess
import pytest

from matebot.laws import CLAIM_PLIES
from matebot.play.ranking import ranked
from matebot.solver.clocked import LONGEST_DTM_PLIES
from matebot.solver.material import COVERED
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


def late_positions(tables: Tables, ending: str) -> Iterator[chess.Board]:
    """Yield won positions with a clock that allows the win but not the shortest mate."""
    random = Random(ending)
    for board in random_positions(ending, 10_000, seed=3):
        value = tables.value(board)
        if value.outcome == 1 and value.dtz_plies is not None and value.dtz_plies + 2 < (value.dtm_plies or 0):
            board.halfmove_clock = CLAIM_PLIES - random.randrange(value.dtz_plies, value.dtm_plies or 0)
            yield board


@pytest.mark.parametrize("ending", ["KQKR", "KRKP", "KPK", "KQKP", "KBPK", "KRKN"])
def test_best_play_mates_in_the_number_announced(tables: Tables, ending: str) -> None:
    exact = 0
    for board in islice(late_positions(tables, ending), 6):
        announced: int | None = None
        while moves := ranked(board, tables):
            best = moves[0]
            if announced is not None:
                assert (best.exact, best.mate_plies) == (True, announced), board.fen()
            if best.exact:
                exact += announced is None
                assert best.mate_plies is not None
                announced = best.mate_plies - 1
            board.push(best.move)
        assert board.is_checkmate()
    assert exact >= 4


def test_no_mate_takes_longer_than_is_told(tables: Tables) -> None:
    longest = {material.name: tables.longest(material)[0] for material in COVERED}
    assert max(longest.values()) <= LONGEST_DTM_PLIES
