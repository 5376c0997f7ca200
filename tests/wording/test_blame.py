"""What a slip is to blame for is what the better move would have kept out, by the best reply."""

from __future__ import annotations

import chess

from matebot.ideas.blame import Blame, Lapse, blame


def lapse(fen: str, san: str, better: str, *replies: str) -> Blame | None:
    board = chess.Board(fen)
    move, wanted = board.parse_san(san), board.parse_san(better)
    after = board.copy(stack=False)
    after.push(move)
    return blame(board, move, wanted, [after.parse_san(name) for name in replies] or list(after.legal_moves))


def test_a_move_is_not_to_blame_beside_itself() -> None:
    for fen in (
        "8/8/3N4/8/8/4K3/4B3/6k1 w - - 0 1",
        "5K2/8/3kr3/8/8/8/8/8 b - - 0 1",
        "8/8/7k/1R6/8/5K2/8/6n1 w - - 0 1",
    ):
        board = chess.Board(fen)
        for move in board.legal_moves:
            assert lapse(fen, board.san(move), board.san(move)) is None


def test_a_reply_shows_no_lapse_beside_another_as_good_that_shows_none() -> None:
    """From h6 and c2 Black's men guard f5 no more after Be3, but the white king may as well go to e5."""
    fen = "8/8/5K1b/8/7k/8/2n5/8 b - - 0 1"
    assert lapse(fen, "Be3", "Kg4", "Kf5") is not None
    assert lapse(fen, "Be3", "Kg4", "Kf5", "Ke5") is None


def test_a_square_let_go_leads_nowhere_while_another_step_leads_there_after_the_better_move() -> None:
    """From g8 the king may go to g7 whether the queen guards f7 or not."""
    found = lapse("6k1/8/8/7Q/8/8/8/K7 w - - 0 1", "Qh3", "Qf5", "Kf7")
    assert found is not None
    assert found.leads is None


def test_a_guard_taken_comes_before_a_square_let_go() -> None:
    found = lapse("5K2/8/3kr3/8/8/8/8/8 b - - 0 1", "Kc7", "Kd7", "Kf7")
    assert found is not None
    assert (found.lapse, found.reply, found.square) == (Lapse.GUARD_TAKEN, "Kf7", chess.E6)


def test_a_reply_ruled_out_by_a_check_needs_time() -> None:
    found = lapse("3k2K1/8/8/8/1q6/8/8/6R1 b - - 0 1", "Qf4", "Qc4+", "Rd1+")
    assert found is not None
    assert found.lapse is Lapse.TIME
