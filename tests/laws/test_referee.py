"""What a referee works out by itself of the moves of a position, held against python-chess."""

from __future__ import annotations

import chess
import pytest

from matebot.laws.history import key_after, position_key
from matebot.laws.referee import Referee
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions


@pytest.mark.parametrize("ending", ["KBNK", "KBKB", "KBBK", "KPKP", "KK", "KRKN"])
def test_the_moves_after_which_nobody_can_win_or_move_are_those_of_the_library(tables: Tables, ending: str) -> None:
    for board in random_positions(ending, 60, 2):
        referee = Referee(board, tables)
        assert set(referee.steps) == set(board.legal_moves)
        for move in referee.steps:
            cause, after = referee.after(move).cause, board.copy(stack=False)
            after.push(move)
            assert (cause == "stalemate") == after.is_stalemate(), after.fen()
            assert (cause == "checkmate") == after.is_checkmate(), after.fen()
            dead = after.is_insufficient_material() and not after.is_stalemate()
            assert (cause == "dead position") == dead, after.fen()


@pytest.mark.parametrize("ending", ["KBNK", "KPKP", "KQKR"])
def test_the_key_of_a_position_is_known_before_the_move_is_made(ending: str) -> None:
    for board in random_positions(ending, 60, 3):
        for move in list(board.legal_moves):
            if not board.is_zeroing(move):
                key = key_after(board, move)
                board.push(move)
                assert key == position_key(board)
                board.pop()


def test_a_position_that_comes_for_the_third_time_is_seen_from_the_move_before(tables: Tables) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    for text in ("a1a2", "e4d4", "a2a1", "d4e4", "a1a2", "e4d4", "a2a1"):
        board.push_uci(text)
    causes = {move.uci(): Referee(board, tables).after(move).cause for move in board.legal_moves}
    assert [move for move, cause in causes.items() if cause == "repetition"] == ["d4e4"]
