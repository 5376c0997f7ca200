"""The search over (position, clock) is right on hand-made positions, and as a whole against its plainest form.

Source of the rules: FIDE Laws of Chess, articles 5.1, 5.2, 9.3 and 9.6.2. The lines are worked out by hand.
"""

from __future__ import annotations

import chess
import pytest

from tests.witness.clock_search import CLAIM_PLIES, DRAWN, MATED, Clocked, ClockSearch, OutOfReach
from tests.witness.positions import random_positions

WON_IN_9 = Clocked(-1, 8)


@pytest.mark.parametrize(
    ("fen", "expected"),
    [
        pytest.param("7k/8/5K2/6Q1/8/8/8/8 w - - 99 80", Clocked(1, 1), id="mate on the hundredth ply counts"),
        pytest.param("7k/8/5K2/6Q1/8/8/8/8 w - - 100 80", DRAWN, id="mate on the next ply is too late"),
        pytest.param("7k/6Q1/6K1/8/8/8/8/8 b - - 100 80", MATED, id="a mate that stands at the hundredth ply"),
        pytest.param("7k/5Q2/6K1/8/8/8/8/8 b - - 10 80", DRAWN, id="stalemate"),
        pytest.param("7k/8/5K2/8/8/8/8/6B1 w - - 0 80", DRAWN, id="dead position"),
        # 1 Ra1 (waits) Kg8 2 Ra8 mate.
        pytest.param("7k/8/6K1/8/8/8/1R6/8 b - - 97 80", Clocked(-1, 2), id="mated by the rook in time"),
        pytest.param("7k/8/6K1/8/8/8/1R6/8 b - - 98 80", Clocked(-1, 2), id="mated by the rook on the last ply"),
        pytest.param("7k/8/6K1/8/8/8/1R6/8 b - - 99 80", DRAWN, id="the rook is one ply late"),
        # 1 Kg6 Kg8 2 Ra8 mate: the king must first take the opposition.
        pytest.param("7k/8/5K2/8/8/8/8/R7 w - - 97 80", Clocked(1, 3), id="mate in two moves on the last ply"),
        pytest.param("7k/8/5K2/8/8/8/8/R7 w - - 98 80", DRAWN, id="mate in two moves a ply late"),
        # 1...Kxa7 leaves bare kings.
        pytest.param("k7/Q7/8/8/8/8/8/7K b - - 50 80", DRAWN, id="the last man is taken"),
    ],
)
def test_hand_made_positions_have_the_value_worked_out_by_hand(fen: str, expected: Clocked) -> None:
    assert ClockSearch().value(chess.Board(fen)) == expected


def test_a_pawn_move_in_time_hands_over_to_what_lies_beyond() -> None:
    board = chess.Board("8/P7/8/8/8/7k/8/K7 w - - 99 80")
    asked: list[str] = []

    def beyond(after: chess.Board) -> Clocked:
        assert after.halfmove_clock == 0
        asked.append(after.peek().uci() if after.move_stack else after.board_fen())
        return WON_IN_9 if after.queens else DRAWN

    assert ClockSearch(beyond).value(board) == Clocked(1, 9)
    # A promoted bishop or knight leaves a dead position, which needs no asking.
    assert len(asked) == 2


def test_what_lies_beyond_is_never_guessed() -> None:
    with pytest.raises(OutOfReach, match="after a zeroing move, got '"):
        ClockSearch().value(chess.Board("8/P7/8/8/8/7k/8/K7 w - - 99 80"))


def test_the_defender_escapes_by_a_capture_when_that_draws() -> None:
    board = chess.Board("k7/R7/8/8/8/8/7R/7K b - - 98 80")
    rook_left = Clocked(1, 20)
    assert ClockSearch(lambda _: DRAWN).value(board) == DRAWN
    # Then the longer of the two ways: Kxa7 and twenty plies, not Kb8 and a mate that would come too late.
    assert ClockSearch(lambda _: rook_left).value(chess.Board("k7/R7/8/8/8/8/8/1R5K b - - 90 80")) == Clocked(-1, 21)


def test_the_board_is_left_as_it_was() -> None:
    board = chess.Board("7k/8/6K1/8/8/8/1R6/8 b - - 96 80")
    ClockSearch().value(board)
    assert board == chess.Board("7k/8/6K1/8/8/8/1R6/8 b - - 96 80")
    assert not board.move_stack


@pytest.mark.parametrize("ending", ["KRK", "KQRK", "KPKP", "KQKR"])
@pytest.mark.parametrize(("clock", "count"), [(97, 1), (98, 12), (99, 40)])
def test_remembering_changes_nothing(ending: str, clock: int, count: int) -> None:
    """The plainest search, without memory and through `push` and `pop`, gives the same values."""
    search = ClockSearch(made_up)
    for board in random_positions(ending, count, seed=1):
        board.halfmove_clock = clock
        assert search.value(board) == plainest(board), board.fen()


def test_the_plainest_search_meets_wins_losses_and_draws() -> None:
    boards = [board for ending in ("KQRK", "KPKP") for board in random_positions(ending, 40, seed=1)]
    for board in boards:
        board.halfmove_clock = 98
    assert {plainest(board).outcome for board in boards} == {1, 0, -1}


def made_up(board: chess.Board) -> Clocked:
    """Give a value that depends on the men and their places, and means nothing."""
    outcome = (board.occupied + board.turn) % 3 - 1
    return Clocked(outcome, 2 * (board.occupied % 5) + (outcome > 0) if outcome else None)


def plainest(board: chess.Board) -> Clocked:
    """Return the value by trying everything."""
    if board.is_checkmate():
        return MATED
    if board.is_stalemate() or board.is_insufficient_material():
        return DRAWN
    if board.halfmove_clock >= CLAIM_PLIES:
        return DRAWN
    values: list[Clocked] = []
    for move in list(board.legal_moves):
        board.push(move)
        over = board.is_checkmate() or board.is_stalemate() or board.is_insufficient_material()
        values.append(made_up(board) if board.halfmove_clock == 0 and not over else plainest(board))
        board.pop()
    plies = [(value.outcome, value.mate_plies or 0) for value in values]
    if any(outcome < 0 for outcome, _ in plies):
        return Clocked(1, 1 + min(ply for outcome, ply in plies if outcome < 0))
    if any(outcome == 0 for outcome, _ in plies):
        return DRAWN
    return Clocked(-1, 1 + max(ply for _, ply in plies))
