"""What is worked out of a placement without making a move, held against python-chess."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.squares import after_king_step, gives_check, men_of
from tests.witness.positions import random_positions


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP", "KRKB"])
def test_a_move_gives_check_where_the_library_says_so(ending: str) -> None:
    checks = 0
    for board in random_positions(ending, 150, 4):
        for move in list(board.legal_moves):
            checks += board.gives_check(move)
            assert gives_check(board, move) == board.gives_check(move), (board.fen(), move.uci())
    assert checks > 5


@pytest.mark.parametrize("ending", ["KBNK", "KQKR", "KPKP"])
def test_a_step_of_the_king_leads_to_the_placement_on_the_board(ending: str) -> None:
    for board in random_positions(ending, 60, 5):
        for move in list(board.generate_legal_moves(board.kings)):
            expected = board.copy(stack=False)
            expected.push(move)
            assert after_king_step(men_of(board), move) == men_of(expected)


def test_a_discovered_check_counts() -> None:
    board = chess.Board("k7/8/8/3N4/8/1K6/8/7B w - - 0 1")
    assert all(gives_check(board, move) for move in board.generate_legal_moves(board.knights))
