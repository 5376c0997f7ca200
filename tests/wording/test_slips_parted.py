"""What parts a slip from the moves beside it is told where it does, and left out where it does not."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.wording.sampling import text_of


@pytest.mark.parametrize(
    ("fen", "san", "words", "told"),
    [
        # Why it is drawn is told by itself only where what was missed does not tell it.
        ("k7/8/2P5/2K5/8/8/8/8 w - - 0 1", "Kb6", "Drawn", False),  # the king stands before its pawn already
        ("8/5K2/8/k7/8/8/2p5/6R1 w - - 0 1", "Rh1", "Drawn", False),  # as far off it wins by Rc1
        ("8/8/8/7Q/8/3K4/6kp/8 w - - 0 2", "Qf5", "Drawn: a rook's pawn on the seventh draws", True),
        # Another man should have been made only where a new man would have helped.
        ("K7/8/8/8/8/8/p4k2/4R3 b - - 0 1", "a1=R+", "makes a rook", False),
        ("K7/8/8/8/8/8/p4k2/4R3 b - - 0 1", "a1=R+", "overlooks the loose rook: Kxe1", True),
        ("1k6/8/8/8/5K2/4r3/p7/8 b - - 0 1", "a1=N", "only makes a knight", True),
        # The pawn goes on after the better move, no best one, too.
        ("4K3/8/8/6q1/2P5/k7/8/8 b - - 0 1", "Qf5", "lets the pawn go on", False),
        # A guarded pawn is not attacked.
        ("8/8/7r/8/3K4/5p2/6k1/8 b - - 0 5", "Rd6+", "attack the pawn", False),
        ("8/8/2r5/1k3K2/8/5p2/8/8 b - - 0 1", "Rd6", "attack the pawn by Ke4", True),
        # The way is shut by the slip as well, the opposition is not taken.
        ("8/8/8/8/8/r2k4/5K2/8 b - - 0 5", "Ke4", "takes the opposition;", True),
        ("8/8/8/4r1k1/8/8/6K1/8 b - - 0 6", "Re4", "takes the opposition and shuts f3", True),
        # A step to no edge costs half as much, or none does.
        ("8/5N2/8/8/2k5/8/5K2/6B1 w - - 0 1", "Kf1", "to the edge", False),
        ("8/8/5K2/8/4r3/8/6k1/8 b - - 0 3", "Kh1", "to the edge", True),
        # Every step of the king draws, or only those away from the pawn do.
        ("8/8/6K1/4k3/8/8/7P/8 w - - 0 1", "Kg7", "away from its pawn", False),
        ("8/4K3/6k1/8/4P3/8/8/8 w - - 0 1", "Kf8", "away from its pawn", True),
        # The pawn promotes before the king is there.
        ("8/7K/8/4k3/8/8/1p6/8 b - - 0 6", "Kd4", "get to the pawn", False),
        ("8/1k6/8/8/K7/5P2/8/8 w - - 0 1", "Ka5", "get to the pawn", True),
        # The best reply uses the square that is given, or does not.
        ("8/8/8/7q/8/4k3/6K1/8 b - - 0 9", "Kd3", "gives White's king", False),
        # What is taken need not be kept.
        ("8/4k3/8/8/Rq6/7K/8/8 w - - 0 1", "Kg3", "Rxb4 keeps it", False),
        ("1k6/1p6/R7/8/8/8/7K/8 w - - 0 1", "Kg3", "Rh6 keeps it", True),
        ("8/K7/8/8/4R3/k3p3/8/8 w - - 0 1", "Rc4", "than after", False),  # it is named before the price
    ],
)
def test_a_cause_is_told_where_it_parts_the_slip_from_other_moves(
    library: Library, fen: str, san: str, words: str, told: bool
) -> None:
    assert (words in text_of(library, fen, san)) == told


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/7p/8/2k5/8/8/K7 b - - 0 1", "Kc3", "Kd4 is as good. Bring on pawn or king each time"),
        ("5k2/8/1K6/8/8/4B3/7p/8 b - - 0 1", "Ke8", "Kf7 is as good. Bring on pawn or king each time"),
        ("4k3/8/8/8/8/4K3/8/7q b - - 0 1", "Qf3+", ""),  # the queen lost is the reason
        ("3k4/8/1b3K2/8/8/8/6b1/8 b - - 0 1", "Be3", ""),  # Bc7 is the only best move
    ],
)
def test_moves_as_good_as_the_one_missed_are_named_where_they_do_without_what_is_told(
    library: Library, fen: str, san: str, words: str
) -> None:
    text = text_of(library, fen, san)
    assert (" as good" in text) == bool(words)
    assert words in text
