"""A slip is blamed for what the better move would have kept out, and the man, square, line or chance lost is named."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.blame import Blame, Lapse, blame
from matebot.method.library import Library
from matebot.solver.tables import Tables
from tests.wording.sampling import maker_for
from tests.wording.test_sentences import said


@pytest.fixture(scope="module")
def library(tables: Tables) -> Library:
    return Library(tables)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        (
            "8/8/3N4/8/8/4K3/4B3/6k1 w - - 0 1",
            "Bh5",
            "lets go of the diagonal a6-f1, to which the bishop was tied: Kf1",
        ),
        ("8/8/7B/1B6/8/7K/8/7k w - - 0 1", "Kg4", "lets go of g2, to which the king was tied: Kg2 gets off the edge"),
        (
            "2k2K2/8/8/8/6N1/8/8/3B4 w - - 0 1",
            "Bc2",
            "leaves a way off the edge open: Kd7; 12 moves lost. Ke7 shuts d7",
        ),
        ("5K2/8/3kr3/8/8/8/8/8 b - - 0 1", "Kc7", "takes the guard from the rook on e6, which shut the cage"),
        ("8/8/4k3/5r2/8/6K1/8/8 b - - 0 1", "Kd6", "takes the guard from the rook on f5: Kg4 attacks it"),
        ("4K3/8/8/8/2r5/1k6/8/8 b - - 0 1", "Rc6", "puts the rook in the king's reach: Kd7 attacks it and gets off"),
        ("8/4k3/1K6/5P2/8/8/8/7B w - - 0 1", "Ba8", "leaves a way back to the centre open: Kd6"),
        (
            "8/8/P7/8/4k3/8/3K4/8 w - - 0 3",
            "Ke1",
            "misses a7: the king is outside the square of the pawn; 2 moves lost",
        ),
        (
            "8/6k1/3R4/8/8/4K3/n7/8 w - - 0 1",
            "Kf4",
            "lets the knight go: Kd2 hunts it while it is 6 steps from its king",
        ),
        ("8/8/7k/1R6/8/5K2/8/6n1 w - - 0 1", "Ke3", "lets the knight out by Nh3: after Kg4 h3 is guarded"),
        ("4K3/5n2/8/4k3/8/8/8/6R1 w - - 0 1", "Rh1", "misses Kxf7: the knight is loose; the win is gone"),
        ("8/8/7p/2K5/8/3b4/8/7k b - - 0 1", "Bb5", "gives the bishop away: Kxb5, but the pawn still wins"),
        ("8/7k/7B/8/8/8/8/4KB2 w - - 0 1", "Ba6", "gives the bishop away: Kxh6, and a bishop alone cannot mate"),
        ("8/8/k7/8/8/6K1/r6P/8 b - - 0 1", "Rxh2", "gives the rook for the pawn: Kxh2; the win is gone"),
        ("8/8/8/8/1K6/1p6/k7/8 b - - 0 1", "Kb2", "stands in its pawn's way"),
        ("8/8/k7/2K5/8/8/8/2R5 b - - 0 1", "Ka5", "runs into mate by Ra1#; mate comes 3 moves sooner than after Kb7"),
        (
            "1k6/1B6/1K6/2N5/8/8/8/8 w - - 0 1",
            "Be4",
            "misses mate by Na6#; 15 moves lost. The knight checks and holds c7; the bishop a8 and c8",
        ),
        ("8/4P3/r7/3K4/8/1k6/8/8 w - - 0 1", "e8=N", "makes a knight, where e8=Q makes a queen; the win is gone"),
        (
            "8/8/8/2K5/8/3r4/3k4/3B4 b - - 0 1",
            "Rh3",
            "misses Kxd1: the bishop is loose; the win is gone. It gets away by",
        ),
        (
            "1K6/8/7b/8/8/8/8/2k2n2 b - - 0 1",
            "Kd1",
            "only puts Kc2 off: it comes after Ka7 just the same; 2 moves lost",
        ),
        (
            "8/2k5/8/R7/8/8/8/3K4 w - - 0 1",
            "Rf5",
            "only puts Kc2 off: it comes after Kc6 just the same; 2 moves lost. Kc2 brings",
        ),
        ("8/8/7N/8/2B5/8/8/1K2k3 w - - 0 1", "Kb2", "is 4 moves slower than Kc1. Kc1 takes the opposition"),
        ("6k1/6n1/1R6/6K1/8/8/8/8 w - - 0 1", "Rf6", "allows Ne8, which hits the rook; the win is gone"),
    ],
)
def test_the_thing_lost_is_named(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/1K6/8/8/1N3k2/8/4B3 w - - 0 1", "Ka5", "Ke2"),
        ("8/8/8/8/2B2K2/6N1/5k2/8 w - - 0 1", "Bf1", "Ke1"),
        ("8/8/8/rk6/8/5K2/8/8 b - - 0 1", "Ra8", "Ke4"),
        ("K7/8/8/4k3/8/6p1/8/8 b - - 0 1", "Kf4", "Kb7"),
        ("8/4k3/1K6/5P2/8/8/8/7B w - - 0 1", "Ba8", "Kf6"),
        ("8/8/7b/3k4/8/7p/2K5/8 b - - 0 1", "Ke5", "Kc3"),
        ("6k1/6n1/1R6/6K1/8/8/8/8 w - - 0 1", "Rf6", "stands beside its king"),
        ("8/4k3/8/8/8/1P6/8/2K5 w - - 0 1", "Kc2", "inside the square"),
        ("8/8/8/8/4K3/8/4k3/1Q6 w - - 0 1", "Kf5", "e3 and f3"),
    ],
)
def test_what_the_better_move_allows_too_is_no_reason(library: Library, fen: str, san: str, words: str) -> None:
    assert words not in said(library, fen, san).partition("The way back")[0]


def test_a_pawn_attacked_is_not_gone_for_as_well(library: Library) -> None:
    text = said(library, "8/2K5/8/p7/k7/8/8/8 b - - 0 1", "Ka3")
    assert "takes the guard from the pawn on a5: Kb6 attacks it; 1 move lost" in text


def test_another_move_of_the_method_is_held_against_the_shortest_mate(library: Library) -> None:
    board = chess.Board("8/8/1p6/2k2K2/8/8/8/8 b - - 0 1")
    maker = maker_for(library, board, "method")
    for move in board.legal_moves:
        facts = maker.facts(move)
        better = maker.better(facts)
        if facts.places.method_moves and better is not None:
            assert facts.worth.mate_moves is not None
            assert better.worth.mate_moves == facts.worth.mate_moves - (facts.cost.moves_lost or 0)


def lapse(fen: str, san: str, better: str) -> Blame | None:
    board = chess.Board(fen)
    move, wanted = board.parse_san(san), board.parse_san(better)
    after = board.copy(stack=False)
    after.push(move)
    return blame(board, move, wanted, list(after.legal_moves))


def test_a_move_is_not_to_blame_beside_itself() -> None:
    for fen in (
        "8/8/3N4/8/8/4K3/4B3/6k1 w - - 0 1",
        "5K2/8/3kr3/8/8/8/8/8 b - - 0 1",
        "8/8/7k/1R6/8/5K2/8/6n1 w - - 0 1",
    ):
        board = chess.Board(fen)
        for move in board.legal_moves:
            assert lapse(fen, board.san(move), board.san(move)) is None


def test_a_guard_taken_comes_before_a_square_let_go() -> None:
    found = lapse("5K2/8/3kr3/8/8/8/8/8 b - - 0 1", "Kc7", "Kd7")
    assert found is not None
    assert (found.lapse, found.reply, found.square) == (Lapse.GUARD_TAKEN, "Kf7", chess.E6)


def test_a_reply_ruled_out_by_a_check_needs_time() -> None:
    found = lapse("3k2K1/8/8/8/1q6/8/8/6R1 b - - 0 1", "Qf4", "Qc4+")
    assert found is not None
    assert found.lapse is Lapse.TIME
