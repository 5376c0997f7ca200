"""Outcomes and mates under the fifty-move rule agree with a search of every position of an ending with every clock.

Source of the rule: FIDE Laws of Chess, articles 9.3 and 9.6.2; the moves are python-chess's.
"""

from __future__ import annotations

from random import Random

import chess
import numpy as np
import pytest
from numpy.typing import NDArray

from matebot.laws.referee import judge
from matebot.play.ranking import ranked
from matebot.solver.tables import Tables, Value
from matebot.terms import CLAIM_PLIES
from tests.solver.scores import Told
from tests.witness.clock_layers import ClockLayers, clocked
from tests.witness.clock_search import Clocked
from tests.witness.whole import MATE, Worths

#: The clocks with which positions are put to the program itself.
CLOCKS = (60, 80, 90, 95, 99)

Plies = NDArray[np.int16]


class Values:
    """The values under test of all positions, by their numbers, without clocks."""

    def __init__(self, layers: ClockLayers, tables: Tables) -> None:
        mate, leg = layers.told(Told(tables))
        assert (abs(mate) <= MATE).all()
        self.outcome: Plies = np.sign(mate)
        self.dtm_plies: Plies = np.where(mate == 0, 0, MATE - abs(mate))
        self.dtz_plies: Plies = np.where(leg == 0, 0, MATE - abs(leg))

    def hold(self, scores: Worths, left: int) -> None:
        """Won or lost if the next capture, pawn move or mate is in time; mate in the plain number if that is."""
        outcome = np.where(self.dtz_plies <= left, self.outcome, 0)
        assert (np.sign(scores) == outcome).all(), left
        in_time = (self.outcome != 0) & (self.dtm_plies <= left)
        assert (scores[in_time] == (self.outcome * (MATE - self.dtm_plies))[in_time]).all(), left

    def near_the_border(self, left: int) -> list[int]:
        """Return the numbers of positions that could just or just not be in time."""
        near = (abs(self.dtz_plies - left) <= 2) | (abs(self.dtm_plies - left) <= 2)
        return np.flatnonzero(near & (self.outcome != 0)).tolist()


@pytest.mark.parametrize(("ending", "pawn"), [("KRK", None), ("KPK", chess.C6)])
def test_every_position_and_clock_agrees_with_the_search(
    tables: Tables, ending: str, pawn: chess.Square | None
) -> None:
    """King and pawn with the pawn on one square; on every other the exhaustive test."""
    _agree(tables, ending, 10, pawn)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize("ending", ["KRK", "KPK", "KBNK", "KQKR", "KRKN", "KRKB", "KQKP", "KRKP", "KBPK"])
def test_every_position_and_clock_of_a_larger_ending_agrees_with_the_search(tables: Tables, ending: str) -> None:
    _agree(tables, ending, 500)


def _agree(tables: Tables, ending: str, sample: int, pawn: chess.Square | None = None) -> None:
    def beyond(board: chess.Board) -> Clocked:
        """With the clock at zero every win of the covered endings is in time: none takes more than 85 plies."""
        value = tables.value(board)
        return Clocked(value.outcome, value.dtm_plies)

    layers = ClockLayers(ending, beyond, pawn)
    values = Values(layers, tables)
    scores = [layers.scores]
    for left in range(CLAIM_PLIES + 1):
        values.hold(layers.scores, left)
        if CLAIM_PLIES - left in CLOCKS:
            _told(tables, layers, values, (scores[-1], layers.scores), sample)
        scores = [layers.scores]
        layers.advance()


def _told(tables: Tables, layers: ClockLayers, values: Values, scores: tuple[Worths, Worths], sample: int) -> None:
    """Hold what the program tells of positions and all their moves against the search: with a ply fewer, with all."""
    random = Random(layers.left)
    border = values.near_the_border(layers.left)
    numbers = random.sample(range(layers.count), sample) + random.sample(border, min(len(border), sample))
    for number in numbers:
        board = layers.board(number)
        if not board.is_valid():  # checked by two men in line, which no move can bring about
            continue
        board.halfmove_clock = CLAIM_PLIES - layers.left
        _verdict_agrees(tables, board, clocked(int(scores[1][number])))
        for item in ranked(board, tables):
            zeroing = board.is_zeroing(item.move)
            board.push(item.move)
            found: Value | Clocked = tables.value(board) if zeroing else clocked(int(scores[0][layers.number(board)]))
            board.pop()
            assert item.outcome == -found.outcome, f"{board.fen()} {item.move}"
            assert item.exact, f"{board.fen()} {item.move}"
            if isinstance(found, Clocked) and found.mate_plies is not None:
                assert item.mate_plies == found.mate_plies + 1, f"{board.fen()} {item.move}"


def _verdict_agrees(tables: Tables, board: chess.Board, expected: Clocked) -> None:
    found = judge(board, tables)
    assert found.outcome == expected.outcome, board.fen()
    assert (found.exact, found.mate_plies) == (True, expected.mate_plies), board.fen()
