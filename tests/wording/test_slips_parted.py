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
        ("8/8/8/7Q/8/3K4/6kp/8 w - - 0 2", "Qf5", "lets the pawn promote by h1=Q", True),
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
        ("8/8/7p/8/2k5/8/8/K7 b - - 0 1", "Kc3", "Kd4 is as good. Bring pawn or king nearer the goal each time"),
        ("5k2/8/1K6/8/8/4B3/7p/8 b - - 0 1", "Ke8", "Kf7 is as good. Bring pawn or king nearer the goal each time"),
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


@pytest.mark.parametrize(
    ("fen", "san", "words", "told"),
    [
        # Moves as good: all of two, else one and others, a move of the line told among them.
        ("8/8/3Q4/1k4K1/8/8/8/8 w - - 0 2", "Qf6", "Kf4 and Kf5 are as good", True),
        ("4q3/8/7P/8/5K2/3k4/8/8 b - - 0 1", "Qg8", "Kd4 and others are as good", True),
        ("K7/8/5k2/8/5B2/7N/8/8 w - - 0 1", "Kb7", "Bc1 and others are as good", True),
        # The rook is attacked on its new line and must leave it: that it opens the box is no reason.
        ("8/8/8/k7/2R5/1K6/8/8 w - - 0 9", "Rc7", "lets the box grow", False),
        # The rook need not leave it, and the king should have come; the same with a box that hardly grows.
        ("8/8/6k1/8/8/5r2/8/4K3 b - - 0 1", "Rf7", "lets the box grow from 10 to 30 squares", True),
        ("8/8/8/8/8/2r5/4k3/1K6 b - - 0 1", "Rd3", "lets the box grow", False),
        # The bishop would be attacked where it stood as well.
        ("8/8/8/8/8/7k/4BB2/2K5 w - - 0 1", "Bg1", "within reach", False),
        ("8/8/8/8/8/7k/4BB2/2K5 w - - 0 1", "Bg1", "brings it up", True),
        # No cage stands after the slip that could get smaller.
        ("1B6/4Nk2/8/6K1/8/8/8/8 w - - 0 1", "Ng6", "must only get smaller", False),
        # The slip saves the rook as well; a pawn goes one step instead of two; a pawn guards, and no king.
        ("1R6/k7/P7/2K5/8/8/8/8 w - - 0 1", "Rb6", "saves the rook", False),
        ("8/6p1/7r/2K5/8/8/2k5/8 b - - 0 1", "g6", "misses g5, two steps at once; 4 moves lost", True),
        ("8/8/8/4k1p1/8/7r/8/6K1 b - - 0 1", "Rg3+", "guards the rook; 2 moves lost. Guard a man before", True),
        # The rank is not shut beyond the pawn; the king leaves the edge after the best moves as well.
        ("8/8/k7/8/8/2P5/5K2/7r b - - 0 1", "Rh6", "shuts rank 3", False),
        ("8/8/8/3P4/8/3r4/8/2K2k2 b - - 0 1", "Rxd5", "off the edge", False),
        # So it is told beside what the method takes, where mate is at hand.
        ("8/8/8/3rP3/6k1/8/8/7K b - - 0 1", "Rd6", "Rxe5 takes the loose pawn. Kg3 is quicker still", True),
        # A line that the king opens guards b8, and a box is no cage.
        ("8/k7/3K4/4Q3/8/8/8/8 w - - 0 1", "Qe8", "b8", False),
        ("8/8/5k2/8/8/8/5K2/5R2 w - - 0 1", "Kf3", "which shuts it in a box; 2 moves lost. The fewer squares", True),
        # The price is counted from the method's move, which is no quickest.
        ("6r1/8/8/8/8/6k1/8/K7 b - - 0 1", "Rg7", "mate comes 2 moves later. Kf2 is quicker still", True),
        # The cage stands after the better move, a step of the king: the rule tells what comes next.
        ("4K3/4B3/4q3/8/8/5k2/8/8 b - - 0 6", "Qb3", "Once the cage stands, bring the king", True),
        ("4K3/4B3/4q3/8/8/5k2/8/8 b - - 0 6", "Qb3", "First the cage", False),
        # Moves as good do without the opposition: the slip takes time, and no rule about opposed kings goes with them.
        ("8/3b4/6K1/8/8/7k/8/1n6 b - - 0 1", "Nc3", "loses time: better Kg4, which takes the opposition", True),
        ("8/3b4/6K1/8/8/7k/8/1n6 b - - 0 1", "Nc3", "pposed kings", False),
        # Nor is a fork the only good move where little is lost; a promotion put off needs no more than its name.
        ("8/4r3/8/8/2K4P/8/8/6k1 b - - 0 1", "Rg7", "Kf2 and Rh7 are as good", True),
        ("3K4/8/7k/8/8/8/2p5/8 b - - 0 1", "Kg5", "puts off c1=Q; 3 moves lost", True),
        # A step of the king shuts it in as well: no rule puts the cage first.
        ("8/8/3B4/8/4K3/3B4/8/4k3 w - - 0 1", "Kf5", "First the cage", False),
        # A capture walks nowhere.
        ("8/6Q1/3r4/2K5/k7/8/8/8 w - - 0 1", "Kxd6", "walks away", False),
        # The own king stands on the file, or beside it.
        ("8/1r6/8/1k6/p2K4/8/8/8 b - - 0 4", "Rg7", "bars the b-file", False),
        ("6k1/6r1/3p4/8/7K/8/8/8 b - - 0 1", "d5", "bars the g-file", True),  # behind the rook
        # The king that is let off the edge stays there, or leaves it.
        ("2B3K1/8/8/4q3/5k2/8/8/8 b - - 0 1", "Qh5", "off the edge", False),
        ("4K3/8/8/8/1k1q4/8/8/8 b - - 0 1", "Qe5+", "lets White's king off the edge", True),
        # What else is lost with a piece that was overlooked need not be told.
        ("8/8/8/3K4/8/4p3/1k3Q2/8 b - - 0 1", "e2", "wins by", False),
        # A mate on the board is told beside the man given away.
        ("4k3/1PR5/K7/8/8/8/8/8 w - - 0 3", "Re7+", "b8=Q# is checkmate. Look at every check first", True),
        ("8/5R2/8/8/8/8/K3Q3/6k1 w - - 0 10", "Qh2+", "Rf1# is checkmate. Look at every check first", True),
        ("8/8/6k1/8/8/7R/K3P3/8 w - - 0 1", "Rh5", "checkmate", False),
        # A check that hits the other man as well is a fork, unless the king guards it.
        ("q7/5k2/8/8/8/2B4K/8/8 b - - 0 1", "Qd5", "misses the fork Qf3+, which hits king and bishop", True),
        ("q7/5k2/8/8/8/6BK/8/8 b - - 0 1", "Qd5", "fork", False),
        # A pawn that is simply taken is told though a quiet move is as good.
        ("2k5/8/8/8/8/1q3P2/8/4K3 b - - 0 1", "Qb5", "misses Qxf3, which takes the loose pawn", True),
        ("q7/8/P7/8/8/2k5/8/5K2 b - - 0 2", "Qc6", "Look at every capture first.", True),
        # A line is no reason where it is the same after the slip.
        ("8/8/4B3/8/1K6/7k/6p1/8 b - - 0 1", "Kh2", "if Kc3", False),
        ("6k1/8/K7/8/8/8/2P5/8 w - - 0 1", "Kb5", "better is Kb7 or c4; 2 moves lost. Bring pawn or king", True),
        ("k7/1b1P4/K7/8/8/8/8/8 w - - 0 1", "Kb5", "lets Black's king come to a7: better is Kb6", True),
        ("1K3k2/8/3r4/8/8/8/8/8 b - - 0 1", "Ke8", "misses Rd7: if Kc8, Ke8 shuts the king in", True),
        # The one reply that holds is told where the cause says no more than that the win is gone.
        ("8/8/8/1PK5/8/1k6/b7/8 w - - 0 1", "Kd6", "The only move that holds is Bb1. Kd4 keeps the win", True),
    ],
)
def test_what_is_told_of_the_better_move_is_no_more_than_the_board_shows(
    library: Library, fen: str, san: str, words: str, told: bool
) -> None:
    assert (words in text_of(library, fen, san)) == told
