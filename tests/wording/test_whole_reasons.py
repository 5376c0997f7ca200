"""The reason told of a good move is the whole one: no line where a cage is small, no race where a man holds the way."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.wording.sampling import text_of


@pytest.mark.parametrize(
    ("fen", "san", "words", "not_told"),
    [
        # Two squares are left: the lines of the queen are half of that, as is the way to the pawn.
        ("7k/8/8/8/8/2p5/4Q3/2K5 w", "Qe7", "it can only step between g8 and h8", "rank 7"),
        ("2q5/4K1k1/8/8/8/P7/8/8 b", "Qc6", "only step between", "king's way"),
        ("8/8/6k1/8/8/6r1/7K/8 b", "Rg5", "shuts the king in on the edge", "rank 5"),
        # The rook bars rank 5: the room of the king is no more than rank 4.
        ("6Q1/8/8/R7/3k4/8/8/5K2 w", "Qb3", "shuts the king in", "behind rank 3"),
        # Only the bishop, or pawn, can move.
        ("8/8/8/8/5K2/7Q/8/k5b1 w", "Qb3", "last squares from Black's king: only the bishop can move", "cuts"),
        ("8/8/8/4Q3/8/1k3b2/8/2K5 w", "Qc5", "it has only a1, a2, b3 or a4 left", "way to its bishop"),
        ("8/8/7r/5Q2/8/8/5K2/3k4 w", "Qd3+", "wins the rook", "way to its rook"),
        # A bishop that stays on the edge is as quick.
        ("8/8/4k3/8/4KP2/8/8/4B3 w", "Bf2", "as quick", "off the edge"),
        ("8/1k6/8/b7/2K5/8/8/7n b", "Ng3", "off the edge", "as quick"),
        ("3K4/8/8/k7/3P4/8/8/1R6 w", "Rb8", "", "keeps the win"),
        ("8/2B3k1/8/3N1K2/8/8/8/8 w", "Be5+", "White's king holds a square alone", ": the king"),
        # The rook's own king stands in the line: the other king walks round.
        ("8/8/1k6/3K4/r7/8/8/8 b", "Rb4", "Rh4 is as quick", "shrinks the box"),
        ("8/8/4r3/2k5/8/3K4/8/8 b", "Re5", "Re7 and Re8 are as quick", "barred"),
        ("8/8/8/3R4/5K2/8/4k3/8 w", "Rd4", "prepares", "barred"),
        ("8/8/5k2/R7/1K6/8/8/8 w", "Rd5", "the d-file is now barred", "prepares"),
        # The line ends on the rook: the queen was tied to nothing.
        ("8/6K1/6R1/4k3/8/3q4/8/8 b", "Kf5", "king and rook", "holds g6"),
        # The pawn can go on.
        ("2k5/8/8/8/8/1q3P2/8/4K3 b", "Kd7", "towards the centre to help", "holds the pawn"),
        ("8/7N/8/7B/8/8/2K3k1/8 w", "Nf8", "Mate in 14", "opposition"),
        # The pawn wins as soon by itself.
        ("8/8/3K4/8/8/3p4/8/4k3 b", "Kd2", "as quick", "opposition"),
        ("8/8/6k1/8/8/7R/K3P3/8 w", "Rf3", "A king cut off stops no pawn", "then the check"),
        ("8/8/8/1r6/8/2k1K3/8/8 b", "Rb4", "First the cage, then the check", "stops no pawn"),
        ("K7/8/5k2/8/5B2/7N/8/8 w", "Nf2", "loses no time: if Kf5, Bc1 saves", "keeps the win"),
        # So near to mate what comes is told.
        ("8/8/8/8/8/2Q5/2bK4/1k6 w", "Qa3", "whatever the bishop does", "last squares"),
        # Beyond the bishop, on f8, the king would get across.
        ("8/5B2/6K1/4q3/3k4/8/8/8 b", "Qf4", "Mate in 7", "cuts the king off"),
        ("5R2/8/6K1/8/8/7n/8/k7 w", "Rf3", "along rank 3 and the f-file", "lost"),
        # The king guards the square on which the pawn promotes, or all of its way.
        ("8/8/7r/8/3K4/5p2/6k1/8 b", "f2", "the king guards f1, where it promotes", "outside"),
        ("8/8/6K1/1p6/8/8/k7/8 b", "b4", "the king guards its way to b1", "outside"),
        ("8/8/8/8/8/5P2/2k5/6K1 w", "f4", "outside the square", "guards"),
        # Kb4 attacks the rook, which the answer guards.
        ("8/8/8/1k6/8/2R5/8/5K2 w", "Ke2", "if Kb4, Kd3 guards the rook and shuts", "Kd3 shuts"),
        # The king takes nine squares of twelve.
        ("8/8/8/8/4K3/1Q6/1b6/k7 w", "Kd3", "has only a1, b1 or c1 left", "keeps the cage"),
        # Six squares near the corner are no two ranks.
        ("8/2k5/8/1q1R4/2K5/8/8/8 w", "Kxb5", "near the a8 corner", "ranks"),
        # The stage is about the king, the move is not.
        ("3K4/k7/3R4/8/8/p7/8/8 w", "Rd4", "It follows the method; ", "bring the king"),
        ("4K3/8/8/6q1/2P5/k7/8/8 b", "Kb4", "(bring the king)", "the method;"),
        # Its own pawn stands in the corner that is left to the king, which stands there only without it.
        ("6K1/6P1/2k5/8/8/7q/8/8 b", "Qf5", "near the h8 corner. ", "g7"),
        # The king, in check, may leave the diagonal to either side.
        ("8/6k1/8/8/q7/8/4K3/5R2 b", "Qc4+", "shuts the king in behind rank 4 and the c-file", "diagonal"),
        # With bishop and knight the opposition is prepared where the king has few squares to go round it by.
        ("8/6N1/8/8/8/1B6/K7/4k3 w", "Nf5", "prepares the opposition: if Kd2, Kb2", "loses no time"),
        ("1k6/5K2/8/b7/6n1/8/8/8 b", "Bc7", "loses no time", "Bc7 prepares the opposition"),
        # The box is named by its corners where no line of it is new alone.
        ("8/8/8/8/3k1K2/8/8/4R3 w", "Re5", "shrinks the box to a1-d4", "now barred"),
        ("8/6K1/k7/8/8/8/2r5/8 b", "Rc6", "shrinks the box: rank 6 is now barred", "box to"),
    ],
)
def test_the_reason_of_a_good_move_is_the_whole_one(
    library: Library, fen: str, san: str, words: str, not_told: str
) -> None:
    text = text_of(library, fen, san)
    assert words in text
    assert not_told not in text
