"""How a game stands, cause by cause, and what counts as the same position.

Source: FIDE Laws of Chess, articles 5.2 and 9.2 to 9.6; the positions are from memory and can be counted on the board.
"""

from __future__ import annotations

import chess
import pytest

from matebot.laws.history import position_key
from matebot.laws.referee import Referee, judge
from matebot.solver.lookup import Value
from matebot.solver.tables import Tables
from matebot.terms import CLAIM_PLIES

ROOK = "4k3/8/4K3/8/8/8/8/R7 w - - {} 80"  # Ra8 mates
START = "8/8/8/8/4k3/8/8/K1BN4 w - - 0 1"
THERE_AND_BACK = ("a1a2", "e4d4", "a2a1", "d4e4")


def played(fen: str, *moves: str) -> chess.Board:
    board = chess.Board(fen)
    for move in moves:
        board.push_uci(move)
    return board


@pytest.mark.parametrize(
    ("fen", "outcome", "mate_plies", "cause"),
    [
        ("R3k3/8/4K3/8/8/8/8/8 b - - 0 1", -1, 0, "checkmate"),
        ("R3k3/8/4K3/8/8/8/8/8 b - - 100 90", -1, 0, "checkmate"),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", 0, None, "stalemate"),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 100 90", 0, None, "stalemate"),
        ("8/8/8/3k4/8/8/8/KB6 w - - 0 1", 0, None, "dead position"),
        ("8/8/8/3k4/8/8/8/KB6 w - - 100 90", 0, None, "dead position"),
        ("8/8/8/8/k7/P7/8/K7 b - - 0 1", 0, None, "balance"),
        (ROOK.format(0), 1, 1, "forced"),
        (ROOK.format(99), 1, 1, "forced"),
        (ROOK.format(100), 0, None, "fifty moves"),
        ("7k/8/6K1/8/8/8/8/R7 b - - 98 80", -1, 2, "forced"),
        ("7k/8/6K1/8/8/8/8/R7 b - - 99 80", 0, None, "fifty moves"),
    ],
)
def test_a_position_has_its_outcome_and_cause(
    tables: Tables, fen: str, outcome: int, mate_plies: int | None, cause: str
) -> None:
    board = chess.Board(fen)
    found = judge(board, tables)
    assert (found.outcome, found.mate_plies, found.exact, found.cause) == (outcome, mate_plies, True, cause)
    assert found.value == tables.value(board)
    assert board == chess.Board(fen)


def test_a_draw_may_be_claimed_at_the_third_time_or_after_fifty_moves(tables: Tables) -> None:
    assert not Referee(played(START, *THERE_AND_BACK), tables).is_over
    assert not Referee(played(START, *THERE_AND_BACK, *THERE_AND_BACK[:3]), tables).is_over
    assert Referee(played(START, *THERE_AND_BACK, *THERE_AND_BACK), tables).is_over
    assert not Referee(chess.Board(ROOK.format(CLAIM_PLIES - 1)), tables).is_over
    assert Referee(chess.Board(ROOK.format(CLAIM_PLIES)), tables).is_over
    assert Referee(played(START, *THERE_AND_BACK, *THERE_AND_BACK), tables).claim == "repetition"
    assert Referee(chess.Board(ROOK.format(CLAIM_PLIES)), tables).claim == "fifty moves"


def test_what_makes_a_mate_later_is_the_clock_where_nothing_is_repeated_and_a_repetition_where_the_clock_has_room(
    tables: Tables,
) -> None:
    assert Referee(played(START), tables).delays == "fifty moves"
    assert Referee(played(START, *THERE_AND_BACK), tables).delays == "repetition"
    plies = tables.value(chess.Board(START)).dtm_plies
    assert plies is not None
    room = CLAIM_PLIES - len(THERE_AND_BACK) - plies  # the clock that just leaves time for the mate
    for clock, cause in ((room, "repetition"), (room + 1, None)):
        assert Referee(played(START.replace(" 0 1", f" {clock} 80"), *THERE_AND_BACK), tables).delays == cause


def test_a_move_to_a_position_that_occurred_twice_repeats_it_and_to_one_that_occurred_once_does_not(
    tables: Tables,
) -> None:
    referee = Referee(played(START, *THERE_AND_BACK, *THERE_AND_BACK[:3]), tables)
    assert referee.has_repeated
    verdict = referee.after(chess.Move.from_uci("d4e4"))
    assert (verdict.outcome, verdict.mate_plies, verdict.exact, verdict.cause) == (0, None, True, "repetition")
    referee = Referee(played(START, *THERE_AND_BACK[:3]), tables)
    assert not referee.has_repeated
    assert referee.after(chess.Move.from_uci("d4e4")).cause == "forced"
    assert referee.board == played(START, *THERE_AND_BACK[:3])


def test_positions_before_a_capture_or_pawn_move_do_not_count(tables: Tables) -> None:
    """Article 9.2 has the same pieces on the board; what stood there before a capture cannot come back."""
    moves = ("e1e2", "d5d6", "e2e1", "d6d5", "e1e2", "d5d6")
    board = played("8/8/8/3k4/3r4/8/8/3RK3 w - - 0 1", *moves)
    assert Referee(board, tables).has_repeated
    board.push_uci("d1d4")
    referee = Referee(board, tables)
    assert not referee.has_repeated
    assert set(referee.seen.values()) == {1}
    assert len(referee.seen) == 1


def test_a_game_taken_up_with_a_clock_counts_from_its_first_position(tables: Tables) -> None:
    """The clock says that more moves were made than are known."""
    referee = Referee(played(START.replace("0 1", "20 30"), *THERE_AND_BACK), tables)
    assert sorted(referee.seen.values()) == [1, 1, 1, 2]
    assert referee.has_repeated


def test_positions_differ_by_the_side_to_move_castling_and_a_capture_en_passant_that_is_legal() -> None:
    """Article 9.2.3."""
    board = chess.Board("8/8/8/8/1Pp5/8/8/k1K5 b - b3 0 1")
    without = chess.Board("8/8/8/8/1Pp5/8/8/k1K5 b - - 0 1")
    assert position_key(board) != position_key(without)
    nobody = chess.Board("8/8/8/8/1P6/2p5/8/k1K5 b - b3 0 1")
    assert position_key(nobody) == position_key(chess.Board(nobody.fen().replace("b3", "-")))
    on_a1 = chess.Board("8/8/8/8/P1p5/8/8/k1K5 b - a3 0 1")  # square 16, and nobody can capture there
    assert position_key(on_a1) == position_key(chess.Board(on_a1.fen().replace("a3", "-")))
    rook = chess.Board("4k3/8/8/8/8/8/8/R3K3 w Q - 0 1")
    assert position_key(rook) != position_key(chess.Board("4k3/8/8/8/8/8/8/R3K3 w - - 0 1"))
    assert position_key(rook) != position_key(chess.Board("4k3/8/8/8/8/8/8/R3K3 b Q - 0 1"))
    assert position_key(rook) != position_key(chess.Board("4k3/8/8/8/8/8/8/r3K3 w Q - 0 1"))


@pytest.mark.parametrize(("spare", "plain"), [(0, True), (-1, False)])
def test_play_is_plain_as_long_as_the_mate_comes_by_the_last_ply_of_the_clock(
    tables: Tables, spare: int, plain: bool
) -> None:
    referee = Referee(chess.Board(START), tables)
    value = tables.value(referee.board)
    assert value.dtm_plies is not None
    assert referee.plain(value, CLAIM_PLIES - value.dtm_plies - spare) == plain


def test_play_is_plain_where_drawn_and_not_where_a_position_nearer_to_mate_has_occurred_twice(tables: Tables) -> None:
    referee = Referee(played(START, *THERE_AND_BACK), tables)
    value = tables.value(referee.board)
    assert value.dtm_plies is not None
    assert referee.plain(value, 0)  # the position itself cannot lie on its own way to mate
    assert not referee.plain(Value(value.outcome, value.dtm_plies + 2, value.dtz_plies), 0)
    assert referee.plain(Value(-1, value.dtm_plies + 2, value.dtz_plies), 0)  # a mate by the other side
    assert referee.plain(Value(0, None, None), 200)


def test_a_pawn_that_may_not_be_captured_is_no_other_position_in_the_past(tables: Tables) -> None:
    """The pawn's double step comes first; the same men come again without it, and a third time."""
    board = played("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1", "e2e4", "e8d8", "e1d1", "d8e8", "d1e1", "e8d8", "e1d1", "d8e8")
    referee = Referee(board, tables)
    assert max(referee.seen.values()) == 2
    assert referee.after(chess.Move.from_uci("d1e1")).cause == "repetition"
