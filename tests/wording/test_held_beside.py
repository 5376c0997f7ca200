"""What holds a draw, or lasts, is no reason where a move beside it shows the same and loses, or holds without it."""

from __future__ import annotations

import chess
import pytest

from matebot.ideas.drawn import knight_beside_king, safe_corner
from matebot.ideas.holding import Holding
from matebot.ideas.squares import after_move
from matebot.method.library import Library
from matebot.play.truth import TableTruth
from tests.wording.sampling import taken
from tests.wording.sampling import text_of as said


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # Steps along the edge draw as well, or one away from it loses.
        ("8/8/8/4r3/8/8/k7/6KB w", "Kf2", "edge or by winning it, and neither is threatened"),
        ("8/5n2/6R1/5K2/1k6/8/8/8 b", "Kc4", "Not Nh8: Rf6 leaves the knight no safe square"),
        ("8/1n6/8/5R2/8/k7/3K4/8 b", "Kb4", "no fork or pin wins the knight"),
        # Bf8, by the same corner, loses; Ng8, with the knight beside the king, too.
        ("k7/4b3/1K6/8/8/7R/8/8 b", "Bf6", "the safe corner a8, and no check or pin wins the bishop"),
        ("7K/8/1r1k3N/8/8/8/8/8 w", "Kg7", "stands beside its king, and no fork or pin wins it there"),
        # Bg8 saves the bishop from the rook as well.
        ("3k4/5B1r/8/8/8/6K1/8/8 w", "Ba2", "saves the bishop from Rxf7, and no fork or pin wins it. Not Bg8: Rg7+"),
    ],
)
def test_what_a_losing_move_shows_too_is_not_the_whole_reason_for_a_draw(
    library: Library, fen: str, san: str, words: str
) -> None:
    text = said(library, fen, san)
    assert words in text
    assert "leaves the edge" not in text
    assert "from the edge" not in text


def test_the_king_leaves_the_edge_where_no_other_move_holds_and_steps_along_it_lose(library: Library) -> None:
    assert "the king leaves the edge" in said(library, "8/8/5N2/8/7k/4r3/7K/8 w", "Kg2")


@pytest.mark.parametrize(
    ("fen", "san", "words", "not_told"),
    [
        ("8/8/5r2/2k5/2Q5/3K4/8/8 b", "Kd6", "the other move, Kb6, loses it to Qd4+", "all other moves"),
        # The queen can wait: nobody must give way.
        ("2k5/8/8/2QK4/8/8/r7/8 b", "Kd7", "takes the direct opposition", "must give way"),
        # Kc5 loses the pawn, but h5 is as short without.
        ("8/6Rp/8/3k4/8/2K5/8/8 b", "h6", "is met by Rg6, which attacks the pawn", "Kc5"),
        ("6k1/6p1/4K3/8/6Q1/8/8/8 b", "Kf8", "holds out longest", "g5"),
        ("8/1k6/8/P7/5r2/K7/8/8 w", "Kb3", "holds out longest", "a6+"),
        # Kf6 loses the bishop to a check, but most short moves do not; here they do.
        ("7B/6K1/8/8/8/1k6/6q1/8 w", "Kf7", "holds out longest", "Kf6"),
        ("8/4K3/Q5k1/8/8/8/8/2b5 b", "Kg5", "Kf5, for one, would allow the fork Qc8+", "keeps"),
        # The king goes away from its pawn; it stands in the corner; the bishop falls to the better step too.
        ("8/8/4p2K/8/8/1k6/8/2R5 b", "Ka2", "from the pawn: Kg5 comes nearer", "must lead"),
        ("7K/3r4/8/4k3/8/8/8/6N1 w", "Kg8", "it leaves the corner, where it has fewest squares", "keeps out"),
        ("4k3/B5q1/8/8/8/8/8/K7 w", "Bd4", "the bishop falls either way, and better is Kb1", "keeps out"),
        ("8/8/8/5K2/4r3/7k/1p6/8 w", "Kxe4", "takes the loose rook, but the pawn still wins", "either way"),
        ("6k1/8/8/8/8/5r2/7K/5B2 w", "Kg2", "against Rxf1, and it attacks the rook", "and it guards"),
        ("8/8/8/7K/8/8/5k2/6r1 w", "Kh4", "cannot leave the edge, where a rook can mate; Black now plays", "is met"),
        # A step as good, or a shorter one, stands where this one does.
        ("8/3P4/8/8/8/8/8/4k2K b", "Kd2", "it promotes next move", "stay in the middle"),
        ("8/3P4/8/8/4K3/8/7k/8 b", "Kg2", "it promotes next move", "stay in the middle"),
        # The way to the corner is shut; Kb2 is open.
        ("8/8/8/8/2N1BK2/8/8/3k4 b", "Kc1", "where mate is forced", "runs for"),
        ("8/8/4K3/k5N1/8/8/8/3B4 b", "Kb4", "runs for a1", "heads for"),
        # It is White's move, and the king comes in time; here it is in time already.
        ("8/8/8/8/2K5/p7/6R1/7k b", "Kxg2", "White's king steps inside the square of the pawn on a3", "is inside"),
        ("8/8/8/4k3/8/P7/5rK1/8 w", "Kxf2", "Black's king is inside the square of the pawn on a3", "steps inside"),
        # Nine squares are no corner.
        ("8/5k2/8/2K5/8/8/7q/8 w", "Kd4", "lets Qe5 pen White's king in", "corner"),
        # It could not leave the edge before.
        ("8/k7/8/8/8/2K5/1R6/8 b", "Ka6", "Rb4 holds Black's king on the a-file", "shuts"),
        ("2R5/8/8/8/8/3K1p2/5k2/8 b", "Kg3", "Ke3, which attacks the pawn", "centre"),
    ],
)
def test_what_other_moves_do_is_told_as_far_as_it_is_so(
    library: Library, fen: str, san: str, words: str, not_told: str
) -> None:
    text = said(library, fen, san)
    assert words in text
    assert not_told not in text


def test_against_a_pawn_alone_the_opposition_makes_the_other_king_give_way(library: Library) -> None:
    assert "In opposition the side to move must give way" in said(library, "8/3k4/8/8/4K3/8/5P2/8 b", "Ke6")


@pytest.mark.parametrize("count", [40, pytest.param(400, marks=pytest.mark.exhaustive)])
def test_what_decides_a_draw_or_is_shared_is_so_of_every_other_move(library: Library, count: int) -> None:
    truth, decided, shared = TableTruth(library, "shortest"), 0, 0
    for one in (one for ending in ("KRKB", "KRKN") for one in taken(library, ending, "defence", count)):
        before = chess.Board(one.facts.fen)
        if truth.outcome(before):
            continue
        move, turn = chess.Move.from_uci(one.facts.move), before.turn
        holding = Holding(before, move, not turn, truth)
        others = [after_move(before, other) for other in before.legal_moves if other != move]
        loses = [board for board in others if truth.outcome(board) > 0]
        for steps in (1, 2, 3):
            near = [board for board in others if _edge(board.king(turn)) < steps]
            assert holding.edge_decides(steps) == (bool(others) and near == loses)
            decided += holding.edge_decides(steps)
        for reason in (knight_beside_king.seen, safe_corner.seen):
            assert holding.is_shared(reason) == any(reason(board, not turn) for board in loses)
            shared += holding.is_shared(reason)
    assert decided
    assert shared


def _edge(king: int | None) -> int:
    assert king is not None
    file, rank = chess.square_file(king), chess.square_rank(king)
    return min(file, 7 - file, rank, 7 - rank)
