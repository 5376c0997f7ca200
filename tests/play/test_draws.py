"""Among the moves that draw, the defence takes one drawn by the men before one that only a claim draws."""

from __future__ import annotations

import chess
import pytest

from matebot.play.ranking import is_weaker, ranked
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


@pytest.mark.parametrize(
    "fen",
    [
        "1R6/8/8/8/8/1q6/1k6/6K1 w - - 68 1",
        "6k1/8/R7/5K2/8/6q1/8/8 w - - 77 1",
    ],
)
def test_the_defence_keeps_a_draw_that_needs_no_claim(tables: Tables, fen: str) -> None:
    """Found among games: another move would draw only where somebody counts fifty moves."""
    board = chess.Board(fen)
    moves = ranked(board, tables)
    assert any(item.outcome == 0 and item.verdict.value.outcome == 1 for item in moves)
    assert moves[0].outcome == 0
    assert moves[0].verdict.value.outcome == 0


@pytest.mark.parametrize("ending", ["KQKR", "KRKN", "KRKB", "KQKP"])
def test_a_draw_by_the_men_comes_before_every_draw_by_the_clock(tables: Tables, ending: str) -> None:
    both = 0
    for board in random_positions(ending, 1_500, seed=3):
        if not is_weaker(board, board.turn) or tables.value(board).outcome != 0:
            continue
        board.halfmove_clock = 90
        draws = [item for item in ranked(board, tables) if item.outcome == 0]
        by_claim = [item.verdict.value.outcome == 1 for item in draws]
        assert by_claim == sorted(by_claim), board.fen()
        both += len(set(by_claim)) == 2
        if both == 5:
            return
    raise AssertionError(f"expected five positions with both kinds of draw, found {both}")
