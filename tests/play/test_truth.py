"""The truth told to those who see ideas is that of the tables and of the method."""

from __future__ import annotations

import pytest

from matebot.laws.referee import Referee
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.play.judged import Judged
from matebot.play.ranking import rank_with
from matebot.play.truth import TableTruth
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


@pytest.mark.parametrize("ending", ["KBNK", "KBBK", "KRK", "KQK", "KPK", "KQKR"])
def test_the_answer_is_the_move_of_the_method(tables: Tables, ending: str) -> None:
    library = Library(tables)
    truth, method = TableTruth(library), Style(attack="method")
    won = 0
    for board in random_positions(ending, 60, seed=21):
        referee = Referee(board, tables)
        ranking = rank_with(referee)
        expected = choose(Judged(library, referee), method).move if ranking else None
        assert truth.answer(board) == expected, board.fen()
        value = tables.value(board)
        assert (truth.outcome(board), truth.mate_plies(board)) == (value.outcome, value.dtm_plies)
        won += value.outcome > 0
    assert won
