"""Reasons for good moves of the attacker that must hold as they are told: what is said, and what is not."""

from __future__ import annotations

import re

import chess
import pytest

from matebot.method.library import Library
from tests.wording.sampling import maker_for, said_of


def text(library: Library, fen: str, san: str, style: str = "method") -> str:
    board = chess.Board(f"{fen} - - 0 1")
    return said_of("", maker_for(library, board, style), board.parse_san(san)).text


@pytest.mark.parametrize(
    ("fen", "san", "told", "not_told"),
    [
        # The king walks to the other king, not to the man; what the queen holds meanwhile is told.
        ("8/5K2/1k6/8/2Q5/8/1b6/8 w", "Ke6", "keeps the cage shut meanwhile", "goes after"),
        ("8/7k/8/8/K7/2q5/6B1/8 b", "Qc5", "cut off along the c-file", "goes after"),
        # The bishop may block rank 7, and the king walks out over the top.
        ("5KB1/q7/8/8/8/8/8/k7 b", "Kb2", "brings the king nearer: the queen needs it", "cage shut"),
        # The rook that checks holds a square which neither queen nor king does.
        (
            "8/8/8/6R1/8/2k1K3/8/1Q6 w",
            "Rc5#",
            "the rook holds c4, queen and king the rest",
            "every way out",
        ),
        # A check mates as soon: zugzwang is not what brings it.
        ("8/8/8/3B4/8/2K1N3/8/k7 w", "Bb3", "passes the move: Black has only Kb1", "zugzwang"),
        # That the king comes up next does not show what the queen's move is for.
        ("8/8/kq6/8/8/8/6K1/4R3 b", "Qb3", "shuts f3", "makes time"),
        # The kings face each other, and no square is lost by it.
        ("8/8/8/4k3/7K/8/8/6r1 b", "Kf4", "Mate in 6", "give way|bar three"),
        # The king has as many squares as before, or more: no net closes.
        ("8/3k4/1K6/3q4/8/3P4/8/8 b", "Qd4+", "forces mate: if Ka6, Qb4", "net"),
        # Both squares are as far from the pawn, and a step away from it is as quick.
        ("2r5/8/3K4/p7/8/4k3/8/8 b", "Ke4", "comes nearer and leaves White's king only", "help the pawn"),
        # The rook's rank was shut before; nothing is prepared that this step is for.
        ("8/8/8/8/8/r7/k7/2K5 b", "Kb3", "A king does most in the middle", "prepares"),
        # The cage stands already.
        ("8/8/8/8/5K2/2B5/k1B5/8 w", "Ke3", "keep the cage shut meanwhile", "then the cage"),
        ("8/8/8/8/6k1/4b3/7K/5b2 b", "Kf3", "keeps the cage shut: Kh1 is forced", "must stay shut"),
        # The bishop is there as well: without his king White wins too.
        ("8/8/7B/4K3/1k6/6P1/8/8 w", "g4", "brings the pawn on", "keeps Black's king away"),
        # The king attacks the rook, which must leave one of its lines.
        ("8/8/8/8/8/5K2/k7/3r4 b", "Rd4", "shuts rank 4", "box"),
        # A king that attacks the pawn: that is told first.
        ("8/8/8/5P1k/1r6/8/K7/8 b", "Kg5", "attacks the pawn on f5 and guards f6 on its way", "stops"),
        # The king goes round by rank 8, to the square on which the pawn promotes.
        ("3K4/8/P7/8/8/7r/8/k7 b", "Rh7", "cuts the king off along rank 7", "from its pawn"),
        # From the square of the next check there is no fork.
        ("8/1K6/8/7R/3q4/2k5/8/8 b", "Qg7+", "gives check after check: if Kb8, Qf8+", "looking for a fork"),
        # The check decides: it holds the king on the edge.
        ("8/5N2/8/8/6k1/3r4/7K/8 b", "Rd2+", "holds White's king on the edge, away from its knight", "it is lost"),
        # The method's stage is named where it is not the quickest way.
        ("7q/2P5/8/3K4/8/4k3/8/8 b", "Kf4", "follows the method \\(bring the king\\); Qc8 mates", "at most"),
        # What the king is cut off for, not once more how.
        (
            "4q3/8/8/4k3/8/8/8/1K6 b",
            "Qa4",
            "along rank 4. Mate in 5. Qb5\\+ and others are as quick. First the line, then the king",
            "then bring",
        ),
        # A step of the W by the squares that the knight guards there.
        ("8/8/8/8/8/1b2k3/4n3/4K3 b", "Nf4", "from f4 the knight guards e2 and g2", "Be6"),
        # Whose king is meant.
        ("8/8/8/3R4/2k5/5K2/8/8 w", "Ke4", "so that Black's king must give way", "other king"),
        # The pawn stands outside the part of the board in which its king is shut in.
        ("8/2k5/8/1K5R/5p2/8/8/8 w", "Rd5", "Part the king from its pawn", "first the cage"),
        ("8/k7/8/8/7B/8/7P/5K2 w", "Bg3", "Keep out of your own pawn's way", "escorted"),
        # Kf3 lasts as long as the step in front of the pawn.
        ("8/8/4KQ2/8/3pk3/8/8/8 w", "Qe5+", "drives the king to d3 or f3", "in front of its pawn"),
        ("8/8/4KQ2/8/3pk3/8/8/8 w", "Qd8", "Better is Qe5\\+", "in front of its pawn"),
        # A move that only draws cuts the king off along another line, or opens the rank as well.
        ("8/n7/8/4R3/8/K7/7k/8 w", "Rf5", "misses Rc5: away from its king the knight on a7 is lost", "cuts the king"),
        ("8/8/8/2N5/8/4k1r1/K7/8 b", "Rh3", "misses Kd4, which attacks the knight", "a3 and b3"),
        # The step is as good at once; a check that draws guards the square as well.
        ("2BN4/8/8/8/2K5/8/8/6k1 w", "Kc3", "Kd3, which brings the king nearer", "Bf5"),
        ("6K1/8/8/7k/6n1/8/8/7b b", "Bc6", "lets White's king off the edge: Kf7", "guards f7 first"),
        # The bishop hung; a new queen and a step of the king are as quick.
        (
            "8/8/8/2P5/8/6Bk/2K5/8 w",
            "Bc7",
            "saves the bishop, but loses time: better c6, and the pawn runs on",
            "Kd3 brings",
        ),
        ("8/5B2/8/6K1/8/8/2k1p3/8 b", "Kb1", "walks away from White's king: better is e1=Q or Kc3", "makes a queen"),
        # The whole line is shut.
        ("4K3/8/7R/8/8/6k1/8/8 w", "Rh8", "Rf6 shuts the f-file to it", "guards f3"),
        # The king stays on the file after Rc6.
        ("3Q4/8/1r6/2k5/8/8/K7/8 w", "Ka1", "misses Qc7\\+, which hits king and rook", "shuts the c-file"),
        # Of the pawn's own key squares, b4, c4 and d4, the king comes no farther.
        ("8/8/1K6/6k1/8/8/2P5/8 w", "Ka5", "3 moves lost", "key squares"),
        # A rook wins as well.
        ("8/8/8/8/8/k2B4/3p4/7K b", "d1=N", "where a queen or rook is needed", "where a queen is"),
        ("8/4PK2/8/7B/8/8/k7/8 w", "e8=B", "where a queen, rook or knight is needed", "where a queen is"),
        # What is given up is seen on the board, though other moves of the man cost as much.
        ("8/4r3/6K1/8/8/8/8/1k6 b", "Ra7", "gives up the e-file, which cut the king off", "behind"),
        ("8/4r3/6K1/8/8/8/8/1k6 b", "Re1", "is one move slower than Kc2", "gives up"),
        ("8/8/8/8/8/1Q6/2K2k2/8 w", "Qb2", "opens the cage: Ke3 gets back to the centre", "behind"),
        # The king goes away, the pawn runs; both best steps of the king come up.
        (
            "8/8/8/8/K2k4/7p/8/1b6 b",
            "Ke3",
            "walks away from White's king: better h2, and the pawn runs on",
            "loses time",
        ),
        ("8/8/8/8/K2k4/7p/8/1b6 b", "Kd3", "loses time: better h2, and the pawn runs on", "walks away"),
        # The king on c7 guards b8 in any case.
        ("1R6/K1k5/8/6q1/8/8/8/8 b", "Qa5#", "the queen holds", "own rook blocks"),
        # After Bd4 the king is kept off e3, which "its way back" says once, and there is room for the lesson.
        ("8/6b1/8/8/2k5/6n1/3K4/8 b", "Bc3+", "Bd4 takes e3 from White's king. A king in the middle", "its way"),
        # One reply is enough.
        ("8/2k5/5Q2/8/8/8/K7/8 w", "Qf7+", "opens the cage: Kc6 gets back to the centre; 2 moves lost. B", "After"),
        # What comes of the slip is told by its name, since the better move stands before it.
        ("3k4/8/2B5/2K5/3B4/8/8/8 w", "Bh1", "After Bh1, Kd7 gets off the edge", "Now "),
        # The new queen needs no stalemate; the bishop may come between at g2, or at b6.
        ("8/PK6/3k4/2q5/8/8/8/8 b", "Ke7", "lets the pawn promote by a8=Q", "stalemate"),
        ("b7/8/1K4Q1/8/8/8/7k/8 w", "Qg5", "the king has only h1, h2 or h3 left", "must stay"),
        ("8/8/8/K6k/8/8/5B2/3q4 b", "Qb3", "it has only a5, a6, a7 or a8 left", "must stay"),
        # The pawn is no pawn any more, its side no lone queen yet.
        ("8/2P3k1/8/8/8/8/2R5/2K5 w", "c8=B", "c8=B", "the way to the pawn"),
        ("8/P7/8/3K4/8/6b1/k7/8 w", "a8=Q+", "Attack with king and men together", "king and queen"),
        ("8/7k/3R4/8/8/5n1K/8/8 b", "Ne5", "keeps the draw", "Not Nh2"),
        ("6K1/8/5Q2/1p1k4/8/8/8/8 w", "Qd8+", "better Kf7, which brings the king towards the centre; 2", "to help"),
        # The cage is shut by the move after; both lines of the queen hold the king, one of which it has left already.
        ("8/7K/8/8/8/8/8/r4k2 b", "Kf2", "misses Kg2", "Once the cage stands"),
        ("4Q3/3K4/8/5k2/8/8/8/8 w", "Kc8", "behind rank 3 and the e-file; 2 moves lost. Qe2 is as good", "diagonal"),
        ("8/8/8/k5P1/8/1K6/8/6r1 b", "Rxg5", "king's way to its pawn", "Keep them apart"),
        ("8/8/8/2q5/8/2P5/1K6/3k4 b", "Qc4", "mate in three", "drives the king to the edge"),
        ("8/8/8/8/8/4K3/kp6/8 b", "Kb1", "stands in its pawn's way; .* b1=Q makes a queen. Keep out", "misses"),
        # The bishop's move to e6 takes g8 as well and costs as much, but the slip takes nothing.
        ("8/7k/5K2/8/6B1/6B1/8/8 w", "Bf3", "better Kf7, which takes g8", "better is"),
        ("8/7k/5K2/8/6B1/6B1/8/8 w", "Be6", "", "takes g8"),
        ("8/8/4k3/8/8/1B6/7p/4K3 b", "Kf6", "Better: Ke5 guards d5", "Push a pawn"),
        ("8/8/8/8/2k1P3/8/7q/K7 b", "Qe2", "wins the pawn. Mate in 3. First win the pawn", "Qxe4"),
        ("7K/8/8/8/2p5/8/1k6/8 b", "Kc1", "stands in its pawn's way", "walks away"),
        ("8/8/8/8/2k5/2r5/K7/8 b", "Kd4", "walks away from White's king: better Rb3, which shuts b2", "leaves the way"),
        # The king guards the rook behind, so nothing is won.
        ("8/8/4r3/6K1/8/5kQ1/8/8 b", "Ke4", "overlooks the loose queen", "behind it"),
        ("8/8/8/4K3/8/3R4/2k5/8 w", "Rd4", "moves the rook from d3: better Kd4, which guards it there", "nearer"),
        ("8/8/r7/8/2K5/5k2/8/7N b", "Ke3", "lets the knight escape by Ng3: better Rh6, which traps it", "misses"),
        ("2R5/8/8/K7/8/1k6/8/8 w", "Rc1", "within reach of Black's king: Kb2 attacks it", "cage"),
        ("8/8/6B1/8/5K2/8/4p3/4k3 b", "Kf1", "allows Bd3, which pins the pawn to its king", "brings the king"),
        ("8/2k5/8/1b6/1K6/8/1p6/8 b", "Kd8", "Better: b1=Q\\+ makes a queen", "save it first"),
        # The bishop comes to guard the pawn's last square; by c4 it only gives check, and b1 is not in its reach.
        ("8/8/8/K2B4/8/8/1p1k4/8 b", "Kd3", "gives White time for Ba2, which stops the pawn", "stalemate"),
        ("8/8/8/K2B4/8/8/1p1k4/8 b", "Ke2", "gives White time for Bc4\\+;", "stops the pawn"),
        ("1k6/2r4P/8/8/8/8/6K1/8 w", "Kf2", "gives Black time for Rxh7; the game is lost", "stops the pawn"),
        ("2Q5/b7/3K4/8/8/8/4k3/8 w", "Qb8", "Look along the bishop's lines", "Watch"),
        # To queen is as good as to come up: it is the king that goes the wrong way.
        ("8/5K1P/b7/1k6/8/8/8/8 w", "Kg8", "walks away from Black's king: better is h8=Q or Ke6; .* Kf6", "loses time"),
        ("8/5K1P/b7/1k6/8/8/8/8 w", "Kf8", "loses time: better is h8=Q or Ke6", "walks away"),
        # The rook attacks nothing from c5: it keeps the king from its pawn.
        ("8/8/1K6/7r/2k3P1/8/8/8 b", "Rh1", "Rc5 shuts c6 and c7, the king's way to its pawn", "is after the pawn"),
        # The rook wins the pawn by itself, the king goes on towards the mate.
        ("6k1/8/2R5/8/8/3p2K1/8/8 w", "Kf4", "while the rook cuts Black's king off from it", "help"),
        ("6k1/8/2R5/8/8/3p2K1/8/8 w", "Rc5", "better Rd6, which goes behind the pawn", "help"),
        # The bishop is six files off.
        ("8/8/8/8/4k3/5q2/7K/B7 b", "Qf7", "better Qg4", "nearer to its bishop"),
    ],
)
def test_a_reason_that_holds_is_told_and_one_that_does_not_is_not(
    library: Library, fen: str, san: str, told: str, not_told: str
) -> None:
    said = text(library, fen, san)
    assert re.search(told, said), said
    assert not_told not in said


@pytest.mark.parametrize(
    ("fen", "san", "moves"),
    [
        ("k7/8/8/6K1/8/8/8/7r b", "Rf1", 14),
        ("8/4KR2/8/8/8/6kq/8/8 b", "Kg4", 29),
        ("8/8/2k5/7R/4K3/8/8/8 w", "Rd5", 10),
    ],
)
def test_the_distance_to_mate_is_told_of_a_move_of_the_method_too(
    library: Library, fen: str, san: str, moves: int
) -> None:
    assert f"Mate in {moves}." in text(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "told", "not_told"),
    [
        # Another step as central is slower, and mate is near; the king is in the middle and has other squares there.
        ("8/8/8/8/8/r7/3k4/5K2 b", "Ke3", "stays close to White's king: if Kg2, Ke2", "centre"),
        ("8/8/K7/7p/1k6/2r5/8/8 b", "Kc5", "stays close to White's king: if Kb7, Kb5", "centre"),
        ("5k2/8/5K2/8/7B/8/2q5/8 b", "Qc3+", "if Kg6, Qd3", "way back"),
        # Kc7 and Kd7 go straighter.
        ("2k5/8/8/8/8/8/6n1/2K4b b", "Kb7", "leaves the edge.*Kc7 and Kd7 are as quick", "centre"),
        ("8/8/1p6/1k6/8/8/8/3K4 b", "Ka4", "reaches a key square", "stays"),
        ("2k5/1R6/8/8/8/5K2/4p3/8 w", "Re7", "stops the pawn on e2 from behind", "rank 7"),
        # The corner is the other king's, or far from the squares left.
        ("8/8/8/8/2q5/k7/3K4/8 b", "Qe4", "makes the cage smaller: the king must stay on c1, d1, d2 or c3", "corner"),
        ("8/4k3/6P1/8/8/8/6KB/8 w", "g7", "A threat to promote must be met", "can run"),
        ("5k1r/8/8/8/4K3/8/8/8 b", "Kf7", "the rook needs its king", "only together"),
        ("8/8/K7/5B2/8/6B1/8/2k5 w", "Bf4+", "shuts the king in but for one hole, d1", "leaves one"),
        ("3Q4/8/8/8/8/4k3/6K1/8 w", "Qd5", "shuts the king in behind rank 5 and the d-file", "corner"),
        # The bishop falls by a pin at once; the knight is attacked where it goes as well, and guarded there.
        ("8/k7/8/8/4K3/1b6/8/3R4 w", "Ra1+", "if Kb6, Rb1, then Rxb3. wins the bishop", "corner"),
        ("8/3N4/2k5/8/1B6/7K/8/8 w", "Nc5", "saves the knight", "attack the knight"),
        # No king is near the rook, so that it is guarded tells nothing.
        ("8/8/7K/3P4/8/6r1/8/4k3 b", "Kf2", "comes nearer to the pawn, while the rook cuts", "guards the rook"),
        # The king is one step outside the square.
        ("8/8/8/3K4/p7/8/1k6/8 b", "Kc3", "brings the king", "inside its square"),
        # The line told is left with the next move.
        ("8/3K4/8/8/8/2R5/8/k7 w", "Rb3", "b-file", "rank 3"),
        ("8/8/4r3/3K4/8/8/2k5/8 b", "Re8", "keeps the e-file shut", "attack it at once"),
        ("7K/8/8/3k4/8/8/2N5/4r3 b", "Re2", "saves the rook and attacks the knight", "Rd1"),
        ("8/8/8/8/2K5/8/3k4/6q1 b", "Qg5", "behind rank 5 and the g-file", "14 squares"),
        # The knight stands behind the king: the check hits one through the other.
        ("6N1/8/8/8/7K/8/k7/4r3 b", "Rh1+", "if Kg3, Rg1\\+ skewers king and knight", "forks"),
        ("7k/5Rn1/8/4K3/8/8/8/8 w", "Rf8+", "to h7: then Kf6 brings the king up", "and the king comes up"),
        # The king guards its pawn, which is not hit.
        ("7K/7P/6r1/6k1/8/8/8/8 b", "Ra6", "if Kg8, Kg6", "attacks the pawn"),
        # What is told is what teaches.
        ("K1k5/6r1/8/8/8/8/1P6/8 b", "Rb7", "First win the pawn", "First the squares"),
        ("8/8/7B/8/7K/5q2/5k2/8 b", "Qf5", "The fewer squares the king has", "then the mate"),
        # The king comes no nearer by steps; the line is far from the king; the pawn decides, not the edge.
        ("8/8/8/8/8/6k1/5r2/3K4 b", "Kg2", "keeps the cage shut", "brings the king"),
        ("8/2k5/3R4/8/8/5PK1/8/8 w", "Rd1", "saves the rook", "rank 1"),
        ("8/8/8/8/3K4/2P5/3k4/5B2 w", "Bd3", "c4 runs home", "mated"),
        # That another move gives the rook away is no reason; nor what the king may do after this one as well.
        ("8/8/3r4/2P1k3/1K6/8/8/8 b", "Rc6", "saves the rook and blocks the pawn on c5", "allows"),
        ("8/8/2QK4/8/8/8/1b6/3k4 w", "Qg2", "shuts d2 and e2, the way off the edge", "would let"),
        ("8/8/4R3/K6k/8/8/8/n7 w", "Kb4", "to help against the knight", "king and knight"),
        # All that are as quick keep the rook's line, as slower ones do, and each crosses it by another.
        ("2k3K1/3R4/8/8/8/8/8/8 w", "Rf7", "saves the rook and shuts the king in on the edge", "rank 7|f-file"),
        ("8/K7/1r6/8/8/8/8/1k6 b", "Rb2", "saves the rook and shuts the king in on the edge", "b-file|rank 2"),
        # A list of some moves as quick would be taken for all of them.
        ("2n5/8/8/1k6/8/2b5/8/3K4 b", "Kc4", "and others are as quick", "Nd6 are"),
    ],
)
def test_a_reason_parts_its_move_from_the_others(
    library: Library, fen: str, san: str, told: str, not_told: str
) -> None:
    said = text(library, fen, san)
    assert re.search(told, said), said
    assert not_told not in said
