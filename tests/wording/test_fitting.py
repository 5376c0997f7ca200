"""No rule and no reason of a defence goes against a move that lasts as long; what a reply takes is told first."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from tests.wording.sampling import maker_for, said_of, text_of

EDGE = "Stay off the edge as long as you can"
BOARD = "Keep as much of the board as you can"
AWAY = "Keep the other king away as long as you can"


@pytest.mark.parametrize(
    ("fen", "san", "told", "untold"),
    [
        # Ke8, Ka7 and Kd8, on the edge, last as long; else the rule stands.
        ("8/5k2/8/2B1K3/8/8/8/3B4 b - - 0 2", "Kg6", "Two minor pieces mate only on the edge", EDGE),
        ("2Q5/8/k7/7K/8/8/8/8 b - - 0 1", "Kb5", "A queen mates only on the edge", EDGE),
        ("4K2k/8/2r5/8/8/8/8/8 w - - 0 1", "Ke7", "A rook mates only on the edge", BOARD),
        ("8/7k/8/8/8/8/3R3K/8 b - - 0 1", "Kg6", "Kg7 and Kg8 last as long", BOARD),
        # A bishop keeps no king away, nor does a step towards it; a king that steps aside does.
        ("8/1k6/8/5b2/2Q2K2/8/8/8 b - - 0 2", "Bb1", "brings White's king nearer", AWAY),
        ("7k/8/1p6/8/8/2K5/4Q3/8 b - - 0 1", "Kg7", "brings White's king nearer", AWAY),
        ("q7/8/8/5P2/8/K3k3/8/8 w - - 0 1", "Kb3", "brings Black's king nearer", "nobody guards"),
        # The rook leaves its king.
        ("2Q5/k7/8/8/1K6/8/8/r7 b - - 0 2", "Rb1+", "away from its rook", "belong together"),
        # Kf7 is farther from the knight, Ke2 as near to the corner; any other move is as long.
        ("1b6/8/5K2/2n5/5k2/8/8/8 w - - 0 9", "Ke7", "Kf7 lasts as long", "keeps nearest"),
        ("8/8/1n6/8/b7/8/8/1k2K3 w - - 0 1", "Kd2", "Ke2 lasts as long", "gets away"),
        ("b6k/8/8/8/8/8/8/b6K w - - 0 1", "Kg1", "Every move lasts as long", "farthest"),
        # Steps of the king guard the pawn as well, and are mated sooner.
        ("8/7r/8/3K4/8/3P4/4k3/8 w - - 0 1", "d4", "Kd3, which attacks the pawn", "saves the pawn"),
        # The king stands inside the square or before the pawn; the bishop comes from afar.
        ("8/8/8/4B3/8/4p3/7k/5K2 b - - 0 1", "Kh3", "Draw the square", "alone cannot mate"),
        ("8/8/4p3/8/8/4K3/5B2/5k2 b - - 0 1", "e5", "White's king stands in front of it and holds it", "alone cannot"),
        ("8/1B6/1p6/6K1/k7/8/8/8 b - - 0 1", "Kb5", "Bishops stop pawns from afar", "alone cannot mate"),
        # After the capture nobody has a man left; that Rh3 wins is no reason.
        ("8/8/4Bk2/8/6K1/5r2/8/8 w - - 0 1", "Kxf3", "Kxe6 then leaves only the kings", "alone cannot mate"),
        ("8/1k5R/8/5K2/8/8/8/n7 b - - 0 1", "Kc6", "no fork or pin", "Not Kc8"),
        ("8/8/8/7K/4n3/3R3k/8/8 b - - 0 1", "Kg2", "the knight stays near its king", "stay together"),
        # A rook that this move does not attack need not be saved from it; a pawn that hangs falls.
        ("R7/2k4K/8/8/8/4P3/8/8 b - - 0 1", "Kd6", "is met by Ra5", "save the rook"),
        ("6k1/3P4/8/8/1K6/8/3r4/8 w - - 0 1", "Ka3", "cannot save the pawn: nothing guards it", "closes in"),
        # The bishop goes to be taken; queen and bishop mate in the middle as well.
        ("8/8/k7/8/8/B7/2q5/K7 w - - 0 1", "Bc1", "gives up the bishop: Qxc1+ takes it", "cannot save"),
        ("k7/2K5/5q2/8/8/8/1b6/8 w - - 0 5", "Kd7", "the one step that keeps off the edge", "where it can be mated"),
        # The king tries something, and it is met: that is no fault of the move.
        ("8/8/7k/p7/6r1/8/6K1/8 w - - 0 1", "Kf3", "holds out longest and attacks the rook, but Kg5", "longest, but"),
        # A threat that comes too late is none; a trap on the way to mate is one.
        ("8/8/8/4QK1k/8/2p5/8/8 b - - 0 1", "c2", "does not stop Qh2#", "threatens"),
        # Any check would gain as much time.
        ("8/8/8/8/7B/8/1k5K/1q6 w - - 0 1", "Kg2", "loses a move", "gains time"),
    ],
)
def test_what_is_told_fits_the_moves_that_last_as_long(
    library: Library, fen: str, san: str, told: str, untold: str
) -> None:
    text = text_of(library, fen, san)
    assert told in text
    assert untold not in text


def test_a_man_that_is_given_up_is_named_before_what_another_move_lets_in(library: Library) -> None:
    text = text_of(library, "8/8/1k1K4/8/2Q5/8/8/7b b - - 0 3", "Bc6")
    assert "Bc6 gives up the bishop, but holds out longest: Ka7 would let White's king up by Kc7" in text
    board = chess.Board("8/3k4/2R5/3Kp3/8/8/8/8 b - - 0 6")
    assert "would lose" not in said_of("", maker_for(library, board), board.parse_san("e4")).text


@pytest.mark.parametrize(
    ("fen", "san", "told"),
    [
        # g5 and Nd8 last as long and leave nothing to be taken; of the other pawn every move is as bad.
        ("8/8/2K5/8/6P1/2k4q/8/8 w - - 0 1", "Kd5", "Kd5 loses the pawn: Qxg4 takes it"),
        ("8/1n6/1K4R1/8/8/8/5k2/8 b - - 0 1", "Ke3", "Ke3 loses the knight: Kxb7 takes it"),
        ("8/8/K4k2/8/8/8/1Q3p2/8 b - - 0 1", "Kf5", "Kf5 cannot save the pawn: Qxf2+ takes it"),
    ],
)
def test_a_man_cannot_be_saved_where_no_move_that_lasts_as_long_saves_it(
    library: Library, fen: str, san: str, told: str
) -> None:
    assert told in text_of(library, fen, san)
