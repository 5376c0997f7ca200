"""What a referee works out by itself of the moves of a position, held against python-chess."""

from __future__ import annotations

from random import Random

import chess
import pytest

from matebot.laws.history import key_after, position_key, with_history
from matebot.laws.referee import Referee
from matebot.laws.verdict import Verdict
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


@pytest.mark.parametrize("ending", ["KBNK", "KPKP", "KQKR", "KRKN"])
def test_the_moves_that_keep_the_outcome_are_counted_as_they_are_judged_one_by_one(
    tables: Tables, ending: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[chess.Move] = []
    judge, random = Referee.after, Random(ending)

    def noted(referee: Referee, move: chess.Move) -> Verdict:
        asked.append(move)
        return judge(referee, move)

    monkeypatch.setattr(Referee, "after", noted)
    for board in random_positions(ending, 60, 4):
        board.halfmove_clock = random.choice((0, 0, 40, 80, 95, 99))
        referee = Referee(board, tables)
        asked.clear()
        found = referee.count_keeping()
        assert not asked or board.halfmove_clock
        outcomes = [-referee.after(move).outcome for move in referee.steps]
        assert found == outcomes.count(max(outcomes, default=0)), board.fen()


def test_the_best_moves_are_plain_as_long_as_mate_comes_in_time_after_every_move(tables: Tables) -> None:
    board = chess.Board("7k/8/6K1/8/8/8/8/R7 w - - 0 1")
    longest = max(Referee(board, tables).after(move).mate_plies or 0 for move in board.legal_moves)
    for board.halfmove_clock, best in ((99 - longest, ("a1a8",)), (100 - longest, ())):
        assert tuple(move.uci() for move in Referee(board, tables).plainly_best()) == best


def test_a_move_into_a_third_repetition_is_not_counted_as_keeping_the_win(tables: Tables) -> None:
    board = chess.Board("8/8/8/8/4k3/8/8/K1BN4 w - - 0 1")
    plain = Referee(board.copy(), tables).count_keeping()
    for text in ("a1b1", "e4d5", "b1a1", "d5e4", "a1b1", "e4d5", "b1a1", "d5e4"):
        board.push_uci(text)
    assert Referee(board, tables).count_keeping() == plain - 1


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


def test_a_board_with_its_history_goes_its_own_way() -> None:
    start = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
    board = chess.Board(start)
    for move in ("a1a2", "e4d4", "a2a1"):
        board.push_uci(move)
    mine = with_history(board)
    assert (mine, mine.move_stack) == (board, board.move_stack)
    mine.push_uci("d4e4")
    assert (len(mine.move_stack), len(board.move_stack)) == (4, 3)
    assert mine.is_repetition(2)
    while mine.move_stack:
        mine.pop()
    assert mine.fen() == start
    assert board.pop().uci() == "a2a1"
