"""A defence that nothing sets apart is told by how it stands, by what comes against it, and by a rule that holds."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.wording.sampling import text_of as said


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # From the edge, from nearer the edge, and along it.
        (
            "8/Q6K/8/8/k7/8/8/8 b",
            "Kb3",
            "leaves the edge, but Qd4 shuts Black's king in near the corner a1. Mate in 8. Every move lasts as",
        ),
        (
            "3n4/7b/8/8/1K6/8/4k3/8 w",
            "Kc4",
            "gives the king more room off the edge than any shorter defence. Mate in 28. Kc5 lasts as long. Two",
        ),
        ("3Q2K1/8/8/8/2k5/8/8/8 b", "Kb3", "stays off the edge, but Qd4 shuts Black's king in"),
        ("8/8/8/8/6k1/8/6r1/2K5 w", "Kb1", "cannot leave the edge, and Black's king closes in on White's by Kf3"),
        ("8/8/5K2/8/5bb1/4k3/8/8 w", "Kg7", "stays off the edge, but Bg5 takes f6 from White's king"),
        ("6B1/3K4/8/8/1B6/8/k7/8 b", "Ka1", "cannot avoid the cage: after Ba3 Kb1 comes Bb3"),
        # A piece that no check wins, where other moves lose it and where they do not.
        ("8/8/5k2/8/8/4K2b/3Q4/8 b", "Ke6", "cannot keep White's king away: Kf4 comes nearer"),
        ("8/3k4/8/r7/8/2Q5/3K4/8 b", "Rf5", "most moves lose it, as Ra7 does to Qd4+"),
        # A king that was not beside its pawn before; a shorter step comes beside it too, or none does.
        # What the king attacks on its way is told first.
        ("8/3K4/8/5R1k/P7/8/8/8 b", "Kg4", "attacks the rook, but Ke6 guards it"),
        ("8/4k3/8/8/1P6/3K4/8/5r2 w", "Kc3", "cannot keep Black's king from the pawn: Kd6 comes nearer"),
        ("8/3p3K/8/1k6/8/8/8/5Q2 b", "Kc6", "comes beside its pawn, but White's king closes in on the pawn by Kg6"),
        # A step into the corner is no merit: only what comes is told.
        ("8/8/8/8/6K1/6B1/4B1k1/8 b", "Kh1", "holds out longest, but Kf3 shuts Black's king in on rank 1"),
        # The squares that decide where a king helps its pawn.
        ("8/2k2p2/8/8/8/8/K7/8 w", "Kb1", "cannot stop Kd6: Black's king makes for a key square of the pawn"),
        ("8/8/8/6p1/8/1K3k2/8/8 w", "Ka2", "cannot stop the pawn: White's king is outside its square"),
    ],
)
def test_how_a_defence_stands_is_told_beside_what_comes_against_it(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # The better step guards where the other king goes now; what comes against both, a move sooner.
        ("8/8/2k5/8/3KR3/8/8/8 b", "Kc7", "better is Kb6, which keeps White's king out of c5"),
        ("8/8/5K2/8/8/8/8/Rb2k3 b", "Kf2", "loses a move: the bishop falls either way, but Kd1 holds out longer"),
        ("8/8/8/8/4k1p1/8/K7/8 w", "Kb2", "loses a move: the pawn promotes either way, but Ka3 holds out longer"),
    ],
)
def test_a_defence_that_loses_a_move_is_told_by_what_it_lets_happen(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)


def test_the_best_defence_is_not_explained_by_a_move_far_worse_than_the_next_best(library: Library) -> None:
    # Kd2 is eleven moves shorter, Kc2 nineteen: that Kc2 allows a fork is no reason against Kd2.
    assert "Kc2 would" not in said(library, "5R2/k7/8/8/8/8/8/3K2q1 w", "Ke2")


@pytest.mark.parametrize(
    ("fen", "san", "rule"),
    [
        ("8/8/8/1k3K2/8/5p2/8/8 w", "Ke4", "Against the new queen stay in the middle"),
        ("8/8/8/1K3k2/8/5p2/8/8 w", "Ka4", "Draw the square: it saves counting moves"),
        ("8/2k2p2/8/8/8/8/K7/8 w", "Kb1", "A king on a key square wins, whoever is to move"),
        ("3Q2K1/8/8/8/2k5/8/8/8 b", "Kb3", "A queen mates only on the edge"),
        ("7K/8/7b/8/k7/8/8/5Q2 b", "Ka5", "King and bishop belong together"),
        ("5k2/8/2B5/5K2/8/8/3B4/8 b", "Ke7", "A cage with a hole is no cage"),
        ("8/2R5/7K/5p2/8/3k4/8/8 b", "f4", "When lost, leave only one way to win"),
        ("8/8/8/8/4p3/2K5/5k2/R7 b", "e3", "The king must lead its pawn"),
        ("8/2K5/k7/8/8/2b2p2/8/8 w", "Kd8", "Stay off the edge as long as you can"),
        ("8/8/6R1/8/8/1k6/7K/8 b", "Kc4", "where a rook can mate"),
        ("8/8/7k/5K2/6R1/8/8/8 b", "Kh5", "On the edge a king has little room"),
        ("8/8/6k1/8/6K1/8/5R2/8 b", "Kh7", "A rook cannot mate without its king"),
        ("8/8/1K6/8/1R6/4k3/8/q7 w", "Kc5", "half the moves lose it, as Kc7 does to Qc3+"),
        ("8/3k4/8/1K6/3q4/8/8/8 w", "Ka6", "Ka5 allows Kc6, with mate next move. Mate in 3."),
        ("K7/2q5/1k6/8/8/8/6B1/8 w", "Bf1", "In the corner a king has least room"),
        ("8/6p1/8/K7/8/8/8/7k w", "Kb4", "The king belongs in front of the pawn"),
        ("q7/8/8/8/8/4K3/2P5/7k w", "Kd4", "As a rule only a pawn about to promote holds a queen"),
        ("8/8/5k2/8/8/4K2b/3Q4/8 b", "Bg4", "King and bishop belong together"),
    ],
)
def test_a_defence_that_cannot_help_still_teaches_a_rule(library: Library, fen: str, san: str, rule: str) -> None:
    assert rule in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        # It goes to the edge as any that lasts as long: no fault of it. The pawn is far from promotion.
        ("8/8/1k6/8/1K6/8/8/2R5 b", "Ka6", "to the edge"),
        ("8/8/7r/8/3k4/8/1P2K3/8 w", "b3", "squares of promotion"),
        # The king stands on the edge, and cannot stay in the middle.
        ("8/8/8/1K3k2/8/5p2/8/8 w", "Ka4", "in the middle"),
    ],
)
def test_no_merit_is_claimed_that_a_defence_does_not_have(library: Library, fen: str, san: str, words: str) -> None:
    assert words not in said(library, fen, san)


def test_a_king_that_can_walk_to_a_loose_man_is_not_said_to_be_shut_in(library: Library) -> None:
    assert "shut in" not in said(library, "4B2K/8/8/4B3/8/8/7k/8 b", "Kg1")
