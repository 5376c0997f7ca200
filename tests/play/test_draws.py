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


ENDINGS = ("KQKR", "KRKN", "KRKB", "KQKP")


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_draw_by_the_men_comes_before_every_draw_by_the_clock(tables: Tables, ending: str) -> None:
    """With a pawn nearly every position has layers of its own, so a few must do."""
    _hold_draws(tables, ending, 1 if "P" in ending else 2)


@pytest.mark.exhaustive
@pytest.mark.timeout(600)
@pytest.mark.parametrize("ending", ENDINGS)
def test_a_draw_by_the_men_comes_before_every_draw_by_the_clock_in_many_positions(tables: Tables, ending: str) -> None:
    _hold_draws(tables, ending, 15)


def _hold_draws(tables: Tables, ending: str, count: int) -> None:
    """Rank the moves of positions until so many had both kinds of draw."""
    both = 0
    for board in random_positions(ending, 300 * count, seed=3):
        if not is_weaker(board, board.turn) or tables.value(board).outcome != 0:
            continue
        board.halfmove_clock = 90
        draws = [item for item in ranked(board, tables) if item.outcome == 0]
        by_claim = [item.verdict.value.outcome == 1 for item in draws]
        assert by_claim == sorted(by_claim), board.fen()
        both += len(set(by_claim)) == 2
        if both == count:
            return
    raise AssertionError(f"expected {count} positions with both kinds of draw, found {both}")
