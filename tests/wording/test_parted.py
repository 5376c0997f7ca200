"""A reason for a defence parts it from its rivals, those as good are named, and the reply that meets a move is told."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.wording.sampling import text_of as said


@pytest.mark.parametrize(
    ("fen", "san", "words", "not_told"),
    [
        # Off the edge, in front of a pawn, beside one, a piece that no check wins: so is a shorter move as well.
        ("8/8/8/2B5/1KB5/8/2k5/8 b", "Kd2", "Kb3", "off the edge"),
        ("2q5/8/4k3/8/8/2P5/4K3/8 w", "Kd3", "holds out longest", "beside its pawn"),
        ("n7/8/5K2/8/6k1/8/7R/8 b", "Kf3", "White's king away: Ke5 comes nearer", "no check that wins"),
        # Every move lasts as long, and not all keep off the edge; an equal one goes nearer to the corner.
        ("8/8/3b4/8/2Q5/8/K1k5/8 b", "Kd2", "forks king and bishop. Mate in 10. Every move lasts as long", "edge"),
        ("2K5/6r1/4k3/8/8/8/8/8 w", "Kd8", "Every move lasts as long", "corner"),
        # Another step off the edge lasts no longer; other replies are as quick, and take no pawn.
        ("8/8/3k2K1/8/8/8/7p/7b w", "Kh5", "either way, but Kf5 holds out longer", "edge"),
        ("1Q2K3/8/8/5k2/p7/8/8/8 b", "Kf6", "a3, Ke4 and Kg4 hold out longer", "falls"),
        # After what lasts as long the pawn falls to the same reply.
        ("8/7K/8/8/7P/7k/5q2/8 w", "h5", "Kg7 and Kh6 last as long", "Kxh4"),
        # Other replies are as quick, and take no opposition; the check before is not what takes the knight.
        ("8/8/7p/3K1k2/8/8/8/8 w", "Kc4", "a key square of the pawn", "give way"),
        ("7k/8/2rN4/8/8/8/8/2K5 w", "Nc4", "Rxc4+ takes it", "second man"),
        # How soon the mate comes is told once.
        ("8/8/8/8/8/3k4/4r3/2K5 w", "Kd1", "with mate two moves later", "Mate in 3"),
        # The bishop is pinned already.
        ("2r5/8/8/8/2B3k1/8/2K5/8 w", "Kc3", "guards the bishop", "pins"),
        # Two steps are not together.
        ("8/3r2K1/8/8/7B/8/8/1k6 w", "Kf6", "keeps the draw", "belong together"),
    ],
)
def test_no_reason_is_told_that_holds_of_a_rival_as_well(
    library: Library, fen: str, san: str, words: str, not_told: str
) -> None:
    text = said(library, fen, san)
    assert words in text
    assert not_told not in text


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/k4K2/8/8/8/7r/8 w", "Ke6", "loses a move and is met by Rh5, which takes d5, e5 and f5 from White's king"),
        ("8/8/3k4/3N1K2/8/1B6/8/8 b", "Kc5", "loses a move and is met by Ke5, which takes d4 and d6 from Black's king"),
        ("8/1b6/8/8/8/8/4K3/2n4k w", "Kd2", "is met by Na2, which saves the knight"),
        ("8/4K3/8/3q1k2/8/8/7B/8 w", "Bg3", "is met by Qe6+, which drives White's king to the edge"),
        ("8/8/8/3NK3/2k5/8/3B4/8 b", "Kc5", "holds out longest: it keeps White's king out of d6"),
        ("6bk/8/6K1/8/8/8/8/R7 b", "Bb3", "In the safe corner a pin on the bishop beside the king is stalemate"),
    ],
)
def test_a_defence_is_told_with_the_reply_that_meets_it_or_the_next_best(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)
