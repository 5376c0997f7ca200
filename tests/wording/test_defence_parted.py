"""What is told of a defence parts it from those that are mated sooner; where nothing does, what comes either way."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.wording.sampling import text_of as said


def test_a_reply_that_is_best_against_the_longest_defences_is_no_reason(library: Library) -> None:
    text = said(library, "8/8/3B4/8/2K5/3N4/k7/8 b", "Kb1")
    assert "White's Kb3 comes in any case" in text
    assert "is met by" not in text


def test_a_king_makes_for_no_man_that_a_shorter_step_attacks_at_once(library: Library) -> None:
    assert "makes for e5" not in said(library, "8/2K5/4B3/6k1/8/B7/8/8 b", "Kf4")


def test_a_man_attacked_on_the_way_to_the_pawn_is_named(library: Library) -> None:
    assert "attacks the rook on g5 and comes to the help" in said(library, "8/8/8/4K1r1/8/8/1k5P/8 w", "Kf4")


@pytest.mark.parametrize(
    ("fen", "san", "reason"),
    [
        ("8/8/4r3/8/8/2p1k3/8/7K w", "Kg2", "leaves the edge"),
        ("8/8/4r3/8/8/2p3k1/8/6K1 w", "Kf1", "Kh1 runs into Re1#"),
    ],
)
def test_a_pawn_does_not_decide_where_a_shorter_defence_is_mated_without_it(
    library: Library, fen: str, san: str, reason: str
) -> None:
    text = said(library, fen, san)
    assert reason in text
    assert "pawn" not in text


def test_a_pawn_decides_that_comes_on_whatever_the_king_does(library: Library) -> None:
    assert "outside its square" in said(library, "8/7B/8/8/k5P1/8/7K/8 b", "Kb3")


def test_only_a_check_that_is_best_is_named_against_a_piece_that_most_moves_lose(library: Library) -> None:
    assert "Qd2+" not in said(library, "8/8/8/2K5/8/2Q5/8/1k1b4 b", "Bc2")
    assert "as Rh8 does to Qf6+" in said(library, "8/8/7R/8/5q2/8/5k2/K7 w", "Rh3")


@pytest.mark.parametrize(
    ("fen", "san", "taught"),
    [("8/R3k3/6b1/8/8/8/8/2K5 b", "Ke6", False), ("5R2/8/8/2k5/8/1b1K4/8/8 b", "Ba2", True)],
)
def test_king_and_bishop_are_to_keep_off_one_line_unless_the_move_puts_them_on_one(
    library: Library, fen: str, san: str, *, taught: bool
) -> None:
    assert ("off one line" in said(library, fen, san)) == taught


@pytest.mark.parametrize(("fen", "san"), [("8/8/8/8/3r4/2k1K3/8/8 w", "Kf3"), ("8/8/2q5/5k2/1B6/1K6/8/8 w", "Kb2")])
def test_a_reply_that_is_best_against_one_of_the_longest_defences_is_not_told(
    library: Library, fen: str, san: str
) -> None:
    text = said(library, fen, san)
    assert "loses a move: " in text
    assert "is met by" not in text


@pytest.mark.parametrize(
    ("fen", "san", "told", "untold"),
    [
        # What the better step bars is more than from which man the other one goes away, or how far from the centre.
        ("8/8/8/8/1k6/8/K6B/3N4 b", "Kc5", "better is Kc4, which keeps White's king out of b3", "goes away"),
        ("8/8/8/8/8/5rk1/3K4/8 w", "Kc2", "better is Ke2, which keeps Black's king out of f2", "centre"),
        ("8/8/5b2/5k2/2b5/8/8/4K3 w", "Kd2", "Kd1 lasts as long", "hole"),  # and Kd1 uses none
        ("8/8/8/8/4Q3/4p3/6k1/4K3 b", "Kg3", "Ke2", "once more"),  # nobody guards the pawn
        (
            "8/8/7k/1P2K3/2r5/8/8/8 w",
            "Kd5",
            "it comes nearer to its pawn, and Black's king is too far off to help the rook.",
            "only",
        ),
        ("8/8/6k1/8/B7/2p2K2/8/8 b", "Kg5", "White's king holds the pawn by itself", "inside its square"),
        ("8/4K3/6k1/8/6P1/8/1b6/8 w", "Kf8", "stands in front of the pawn and holds it by itself", "goes to help"),
        ("8/2k5/8/8/8/2N5/7B/6K1 b", "Kb7", "White's Kf2 comes in any case", "Keep the other king away"),
        ("8/1k6/8/8/4Q3/1K6/8/8 b", "Kb6", "holds out longer", "either way"),  # after Kc7 it comes with check
        ("8/8/8/8/3K4/p7/8/2k4r w", "Kc5", "cannot stop the pawn: a2 comes", "closes in"),
        ("8/8/4b3/8/2K5/8/k3P3/8 w", "Kd4", "in the pawn's way. A bishop alone cannot mate", "but alone"),
    ],
)
def test_the_reason_told_is_not_shared_by_the_moves_it_is_to_be_told_from(
    library: Library, fen: str, san: str, told: str, untold: str
) -> None:
    text = said(library, fen, san)
    assert told in text
    assert untold not in text
