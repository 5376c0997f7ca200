"""By what means a reply punishes a slip, asked of boards alone: the first that applies."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.refutation import Means, means_of

K, N, R, Q = chess.KING, chess.KNIGHT, chess.ROOK, chess.QUEEN


@pytest.mark.parametrize(
    ("placed", "reply", "means", "men", "squares"),
    [
        ("8/8/8/8/8/1k6/7q/K7 b", "Qh1", Means.MATE, (), ()),
        ("8/8/8/8/8/1k6/7q/K7 b", "Qc2", Means.NONE, (), ()),  # stalemate is no mate
        ("8/8/8/8/8/1k6/7q/K7 b", "Qg1", Means.MATE, (), ()),
        ("8/8/8/8/8/2k5/7q/K7 b", "Qg1", Means.NONE, (), ()),  # a check that is answered
        ("8/8/8/8/8/1k6/7q/K6R b", "Qxh1", Means.MATE, (), ()),
        ("8/8/8/8/8/2k5/7q/K6R b", "Qxh1", Means.CAPTURE, (R,), (chess.H1,)),
        ("8/8/8/8/8/2k5/6p1/K6R b", "g1=Q", Means.PROMOTION, (Q,), (chess.G1,)),
        ("8/8/8/8/8/2k5/6p1/K6R b", "gxh1=N", Means.CAPTURE, (R,), (chess.H1,)),
        ("8/8/8/8/5n2/8/8/k2K3R b", "Ng2", Means.NONE, (), ()),
        ("8/8/8/8/7n/8/8/k3K2R b", "Nf3", Means.NONE, (), ()),
        ("8/8/8/8/5n2/8/8/k4K1R b", "Ng2", Means.NONE, (), ()),
        ("8/8/8/8/4n3/8/8/k2K3R b", "Nf2", Means.FORK, (K, R), (chess.D1, chess.H1)),
        ("8/8/8/8/K7/8/3k4/1R6 b", "Kc2", Means.ATTACK, (R,), (chess.B1,)),
        ("8/8/8/8/8/8/3k4/KR6 b", "Kc2", Means.NONE, (), ()),
    ],
)
def test_a_reply_punishes_by_the_first_means_that_applies(
    placed: str, reply: str, means: Means, men: tuple[int, ...], squares: tuple[int, ...]
) -> None:
    board = chess.Board(f"{placed} - - 0 1")
    found = means_of(board, board, board.parse_san(reply), chess.WHITE)
    assert (found[0].value, *found[1:]) == (means.value, men, squares)


@pytest.mark.parametrize(("reply", "means", "squares"), [("Kd2", Means.RUN, (chess.D2,)), ("Kc1", Means.NONE, ())])
def test_a_king_runs_where_it_could_not_go_before_the_slip(
    reply: str, means: Means, squares: tuple[chess.Square, ...]
) -> None:
    before, after = (chess.Board(f"{placed} b - - 0 1") for placed in ("8/8/8/8/8/8/R7/K2k4", "R7/8/8/8/8/8/8/K2k4"))
    assert means_of(before, after, after.parse_san(reply), chess.WHITE) == (means, (), squares)
