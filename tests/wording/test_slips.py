"""A slip is blamed for what the better move would have kept out, and the man, square, line or chance lost is named."""

from __future__ import annotations

import re

import chess
import pytest

from matebot.facts.time_given import Gain
from matebot.method.library import Library
from matebot.play.choice import Style, choose
from matebot.wording.attack import deeds
from matebot.wording.moves import line
from matebot.wording.slips import slipped
from tests.counting import counts
from tests.wording.sampling import maker_for, taken
from tests.wording.test_sentences import said


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        (
            "8/8/3N4/8/8/4K3/4B3/6k1 w - - 0 1",
            "Bh5",
            "takes the bishop off the diagonal a6-f1: Kf1 gets away from the corner h1",
        ),
        ("8/8/7B/1B6/8/7K/8/7k w - - 0 1", "Kg4", "leaves g2 unguarded: Kg2 gets off the edge"),
        (
            "2k2K2/8/8/8/6N1/8/8/3B4 w - - 0 1",
            "Bc2",
            "lets Black's king come to d7; 12 moves lost. Better: Ke7 comes nearer and leaves Black's king only b7",
        ),
        ("8/8/4k3/5r2/8/6K1/8/8 b - - 0 1", "Kd6", "takes the guard from the rook on f5, which shut the cage"),
        (
            "8/3p4/8/3K4/8/b7/1k6/8 b - - 0 1",
            "Bb4",
            "puts the bishop within reach of White's king: Kc4 attacks it",
        ),
        (
            "3r4/8/7p/8/8/3k4/K7/8 b - - 0 1",
            "Ke3",
            "lets White's king off the edge: Kb3; 6 moves lost. Kc3 guards b2 and b3",
        ),
        (
            "8/8/P7/8/4k3/8/3K4/8 w - - 0 3",
            "Ke1",
            "loses time: a7 at once outruns the king; 2 moves lost",
        ),
        (
            "8/6k1/3R4/8/8/4K3/n7/8 w - - 0 1",
            "Kf4",
            "leaves the knight in peace: Kd2 goes after it, far from its king",
        ),
        ("4K3/5n2/8/4k3/8/8/8/6R1 w - - 0 1", "Rh1", "overlooks the loose knight: Kxf7 takes it; the win is gone"),
        ("8/8/7p/2K5/8/3b4/8/7k b - - 0 1", "Bb5", "gives the bishop away: Kxb5, but the pawn still wins"),
        ("8/7k/7B/8/8/8/8/4KB2 w - - 0 1", "Ba6", "does not save the bishop on h6: Kxh6, and a bishop alone"),
        ("8/8/k7/8/8/6K1/r6P/8 b - - 0 1", "Rxh2", "gives the rook for the pawn: Kxh2; the win is gone"),
        ("8/8/8/8/1K6/1p6/k7/8 b - - 0 1", "Kb2", "stands in its pawn's way"),
        ("8/8/k7/2K5/8/8/8/2R5 b - - 0 1", "Ka5", "walks into mate: Ra1#; mate comes 3 moves sooner than after Kb7"),
        (
            "1k6/1B6/1K6/2N5/8/8/8/8 w - - 0 1",
            "Be4",
            "overlooks mate in one: Na6#",
        ),
        ("8/4P3/r7/3K4/8/1k6/8/8 w - - 0 1", "e8=N", "makes a knight where a queen is needed: knight against rook"),
        (
            "6r1/K7/8/8/5B2/5k2/8/8 b - - 0 1",
            "Rg5",
            "gives the rook away: Bxg5, and a bishop alone cannot mate; the win is gone. Better: Kxf4 takes",
        ),
        (
            "6k1/8/1P3b2/8/5K2/8/8/8 w - - 0 1",
            "Kg4",
            "gives Black time to stop the pawn; the win is gone. Better: b7 gets the pawn past the bishop",
        ),
        ("8/5P2/8/b7/8/8/8/2K3k1 w - - 0 1", "Kb2", "gives Black time for Bb4, which stops the pawn"),
        ("8/8/8/K2B4/8/8/1p1k4/8 b - - 0 1", "Ke2", "gives White time for Bc4+; the win is gone. b1=Q comes first"),
        ("6K1/1k6/5q2/8/8/8/8/1B6 b - - 0 2", "Qh6", "leaves Black's king behind: better Kc8, which brings it nearer"),
        (
            "3N4/6r1/7K/8/8/1k6/8/8 b - - 0 1",
            "Rg2",
            "misses Rd7, which attacks the knight: away from its king it is lost",
        ),
        ("8/3P4/8/4r3/8/8/2k3K1/8 b - - 0 1", "Re6", "lets the pawn promote by d8=Q"),
        ("4r3/8/8/7N/8/2k5/8/7K b - - 0 1", "Re5", "misses Rh8, which pins the knight on h5 against its king"),
        ("8/8/8/1PK5/8/1k6/b7/8 w - - 0 1", "Kb6", "stands in its pawn's way; the win is gone"),  # b6 wins, too
        (
            "8/8/8/5KR1/7k/2n5/8/8 w - - 0 1",
            "Kf4",
            "lets the knight escape by Ne2+; the win is gone",
        ),
        ("8/8/1k6/8/5q2/8/8/1K1B4 b - - 0 3", "Qc7", "misses Qd2, which shuts rank 2 to White's king"),
        ("2K5/8/8/2k5/8/B7/8/3r4 b - - 0 1", "Kb5", "misses Kc6, the only move that wins"),
        (
            "8/8/8/8/5p2/8/R6K/5k2 w - - 0 1",
            "Rb2",
            "misses Kh3, which is after the pawn; 2 moves lost",
        ),
        ("2K2k2/8/8/8/8/8/6RP/8 w - - 0 2", "Kc7", "if Ke7, Ra6 shuts the king in"),
        ("8/8/K7/2k5/8/5R2/8/8 w - - 0 1", "Rg3", "Rd3 shuts the d-file to it. Keep the king out"),
        ("7R/8/8/8/1K6/8/8/1kb5 w - - 0 1", "Rb8", "by a1, a corner of the bishop's colour, Black's king is lost"),
        (
            "8/8/8/1k1r4/8/5K2/N7/8 b - - 0 1",
            "Ka5",
            "misses Rc5: away from its king the knight on a2 is lost",
        ),
        ("8/8/8/8/6k1/8/3P4/K7 w - - 0 1", "d3", "misses Kb2, which heads for c4 and d4, key squares of its pawn"),
        ("8/8/8/8/3KP3/8/8/2rk4 b - - 0 1", "Rb1", "White's king leads the pawn on, and the rook must be given for it"),
        ("8/5K2/5p2/8/8/2k5/8/8 b - - 0 1", "Kc4", "does not save the pawn: Kxf6; the win is gone"),
        ("8/8/8/7r/8/2k3K1/8/8 b - - 0 3", "Rh1", "lets the box grow; 2 moves lost"),
        (
            "8/8/7N/8/2B5/8/8/1K2k3 w - - 0 1",
            "Kb2",
            "misses Kc1, which brings the king up; 4 moves",
        ),
        ("6k1/6n1/1R6/6K1/8/8/8/8 w - - 0 1", "Rf6", "allows Ne8, which hits the rook; the win is gone"),
        ("8/7B/8/8/2K5/8/1k5N/8 w - - 0 3", "Kb5", "leaves c3 unguarded: Kc3"),
        ("6k1/3Q4/4K3/8/8/8/8/5r2 w - - 0 3", "Ke7", "the skewer Rf7+, which hits the king and behind it the queen"),
        ("8/8/8/8/8/6k1/3q4/6K1 b - - 0 6", "Kh3", "mate in one: Qg2#, guarded by the king; 2 moves lost"),
        (
            "8/8/6k1/8/1R6/6b1/3K4/8 w - - 0 1",
            "Re4",
            "misses the fork Rg4+, which hits king and bishop; the win is gone",
        ),
        ("8/5K2/7k/8/8/6Q1/8/8 w - - 0 4", "Qb8", "mate in one: Qh4#, with g6 and g7 held by the king"),
    ],
)
def test_the_thing_lost_is_named(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/7p/8/1k6/2Q5/8/8/K7 b - - 0 1", "Ka5", "overlooks the loose queen: Kxc4 takes it; the game is lost"),
        ("4b3/8/K7/8/4k3/8/8/Q7 w - - 0 1", "Qb2", "misses the skewer Qe1+: the king must step aside, and the bishop"),
        (
            "8/7k/1P6/1b6/8/6K1/8/8 w - - 0 1",
            "Kf4",
            "gives Black time to stop the pawn: Bc6; the win is gone. Better: b7",
        ),
        ("8/1Q1K4/8/5k2/8/8/7p/8 w - - 0 1", "Kc6", "lets the pawn promote by h1=Q+"),
        ("8/8/5K1k/5Q2/4b3/8/8/8 w - - 0 4", "Qxe4", "overlooks mate in one: Qh3#"),
        ("8/8/8/4K3/8/3kp3/8/8 b - - 0 3", "Ke2", "stands in its pawn's way; 3 moves lost"),
        (
            "8/6k1/8/4P2R/8/8/3K4/8 w - - 0 1",
            "Rh4",
            "misses Rf5, which cuts the king off from the pawn along the f-file",
        ),
        ("k7/8/8/K7/1R6/8/8/8 w - - 0 13", "Rb1", "misses Kb6, which covers a7 and b7"),
        (
            "6k1/8/8/K4p2/8/8/6r1/8 b - - 0 1",
            "Ra2+",
            "to the pawn by Kb4: better Rb2, which cuts it off",
        ),
        ("8/q7/8/8/3k4/8/1B6/7K b - - 0 1", "Kc4", "takes the king away: the queen needs it for the mate"),
    ],
)
def test_a_chance_with_a_name_is_told_before_a_square(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/1K6/8/8/1N3k2/8/4B3 w - - 0 1", "Ka5", "Ke2"),
        ("2k5/8/7b/8/8/8/6n1/1K6 b - - 0 1", "Bf8", "into play"),  # Bf4 and Bg5 come to as little
        ("b7/8/8/2k5/8/4K1b1/8/8 b - - 0 4", "Kb5", "out of the centre"),  # as Kd5 and Kd6 do
        ("1k6/8/r7/1K6/8/8/8/8 b - - 0 1", "Ra8", "rank 6"),  # Re6 stays on it
        ("3r4/2K2k2/8/8/7N/8/8/8 b - - 0 1", "Re8", "d-file"),
        ("5K2/8/8/3P4/7k/1R6/8/8 w - - 0 1", "Rb6", "rank 3"),
        ("8/5R2/k7/8/8/8/5K2/7n w - - 0 1", "Kf1", "to the edge"),
        ("8/b7/4P3/8/8/2k5/6K1/8 w - - 0 1", "Kh3", "to the edge"),
        ("8/8/8/q7/8/1K3k2/8/8 b - - 0 8", "Qa6", "box"),
        ("8/8/8/6b1/4K3/2Q5/8/1k6 w - - 0 1", "Qd4", "comes to its bishop"),
        ("7k/8/8/p7/8/8/8/2R1K3 w - - 0 1", "Rc8+", "should be mated"),
        ("8/8/8/3r4/2K5/4k3/8/8 b - - 0 5", "Ra5", "within reach"),
        ("2n5/8/8/1K3R2/8/8/6k1/8 w - - 0 1", "Ka5", "Nd6"),  # after Kc6 it does not hit the rook, and is drawn
        ("8/8/8/8/2B2K2/6N1/5k2/8 w - - 0 1", "Bf1", "Ke1"),
        ("8/8/8/rk6/8/5K2/8/8 b - - 0 1", "Ra8", "Ke4"),
        ("K7/8/8/4k3/8/6p1/8/8 b - - 0 1", "Kf4", "Kb7"),
        ("8/4k3/1K6/5P2/8/8/8/7B w - - 0 1", "Ba8", "Kf6"),
        ("8/8/7b/3k4/8/7p/2K5/8 b - - 0 1", "Ke5", "Kc3"),
        ("6k1/6n1/1R6/6K1/8/8/8/8 w - - 0 1", "Rf6", "stands beside its king"),
        ("8/4k3/8/8/8/1P6/8/2K5 w - - 0 1", "Kc2", "inside the square"),
        ("8/8/8/8/4K3/8/4k3/1Q6 w - - 0 1", "Kf5", "e3 and f3"),
        ("8/8/K7/8/6k1/4Q3/8/8 w - - 0 1", "Qc5", "tied"),
        ("3Q4/8/8/1k6/8/3K4/8/8 w - - 0 6", "Qe8+", "tied"),
        ("8/8/7k/1R6/8/5K2/8/6n1 w - - 0 1", "Ke3", "Nh3"),  # Kg7 and Kg6 save the knight as well
        ("8/8/8/1k1r4/8/5K2/N7/8 b - - 0 1", "Ka5", "Nc1"),
        ("6k1/8/1P3b2/8/5K2/8/8/8 w - - 0 1", "Kg4", "Be5"),
        ("8/4p3/8/8/8/K7/4B3/3k4 b - - 0 1", "Ke1", "Bd3"),  # five other squares are as good
        ("8/4K1k1/8/8/8/8/4P3/8 w - - 0 2", "Kd7", "tied"),
        ("8/3k4/1K6/8/1p6/8/8/8 b - - 0 2", "Kd8", "its pawn"),  # it runs by itself
        ("8/8/k2K4/8/8/7Q/3p4/8 w - - 0 1", "Qg3", "lets the pawn"),  # Kc6 lets it promote and mates
        ("7k/R7/8/3K1n2/8/8/8/8 w - - 0 1", "Ra3", "in peace"),  # Rd7 and Rb7 win as well
        ("8/8/8/5K2/8/6k1/3Q4/8 w - - 0 8", "Qd6+", "crosses"),
        ("8/8/8/1PK5/8/1k6/b7/8 w - - 0 1", "Kb6", "goes for the pawn"),  # its king guards it
        ("8/2P5/8/8/8/8/3k1K2/4r3 b - - 0 1", "Re2+", "checks too soon"),  # it is about the pawn
        ("7K/1k6/1q6/8/R7/8/8/8 b - - 0 1", "Qb5", "from its rook"),  # the fork wins it
        ("8/5b2/8/8/K2k4/8/8/4b3 b - - 0 1", "Bf2", "shuts b5"),  # it lets go of a5 and b4 as well
        ("8/1K6/2p5/2kB4/8/8/8/8 b - - 0 1", "Kxd5", "its pawn's way"),  # cxd5 takes the bishop
        ("7k/5Q2/8/6K1/8/2p5/8/8 w - - 0 4", "Qf4", "two: Qg6, and if Kg8, Qg7#"),  # that mates in three
        ("8/8/8/6kq/3K4/8/8/8 b - - 0 2", "Kh6", "takes e3"),  # Kf4 brings the king up
        ("8/8/2k2P2/8/5R2/8/8/K7 w - - 0 2", "Rc4+", "After Rc4+, Kd5"),  # after f7 it is as good
        ("1K5k/8/8/8/8/8/2R5/8 w - - 0 1", "Rh2+", "should be mated"),  # a rook mates on any edge
        ("8/8/8/4K3/6p1/5k2/8/4R3 b - - 0 1", "Kg3", "its pawn's way"),  # Kf2 draws as well
        ("8/8/8/4K3/6p1/5k2/8/4R3 b - - 0 1", "Kg3", "towards the edge"),  # so does Kf2
        ("4Q3/3K4/8/8/4r3/7k/8/8 b - - 0 1", "Rf4", "forks"),  # Kg4 guards the rook
        ("8/8/8/8/1K1k4/8/4q3/8 b - - 0 7", "Qe6", "b-file"),  # after Qb2+ the king leaves it
        ("8/8/3K4/8/8/4bk2/8/3b4 b - - 0 1", "Kf2", "After Kf2, Kd5"),  # Kc7 and Kd7 last as long
        ("8/8/6k1/8/6b1/8/K4n2/8 b - - 0 2", "Nd3", "takes b3"),  # Kf5 is as good and takes nothing
        ("4N3/8/8/8/4k1r1/8/7K/8 b - - 0 1", "Kf5", "the wrong way"),  # Ke5 is better and comes no nearer
        ("6k1/8/8/K4p2/8/8/6r1/8 b - - 0 1", "Ra2+", "off the edge: Kb5"),  # Rb2 keeps it from the pawn
        ("8/8/8/3k4/4q3/8/5K2/2B5 b - - 0 8", "Qh4+", "if Bb2"),  # five other replies last as long
    ],
)
def test_what_the_better_move_allows_too_is_no_reason(library: Library, fen: str, san: str, words: str) -> None:
    assert words not in said(library, fen, san).partition("The way back")[0]


def test_another_move_of_the_method_is_held_against_the_shortest_mate(library: Library) -> None:
    board = chess.Board("8/8/1p6/2k2K2/8/8/8/8 b - - 0 1")
    maker = maker_for(library, board, "method")
    for move in board.legal_moves:
        facts = maker.facts(move)
        better = maker.better(facts)
        if facts.places.method_moves and better is not None:
            assert facts.worth.mate_moves is not None
            assert better.worth.mate_moves == facts.worth.mate_moves - (facts.cost.moves_lost or 0)


@pytest.mark.parametrize(
    ("fen", "san", "rule"),
    [
        ("4q3/8/8/3K4/7k/8/8/8 b - - 0 1", "Qc6+", "Close checks need a guard."),
        ("8/8/8/8/8/6k1/3q4/6K1 b - - 0 6", "Kh3", "Look at every check first."),
        ("k7/8/8/8/1Q6/8/3r2K1/8 w - - 0 1", "Kg3", "A capture may answer a check."),
        ("4k3/8/8/4r3/8/8/7K/8 b - - 0 1", "Re7", "Keep the king there."),
        ("8/8/5K2/8/r7/8/8/kB6 b - - 0 1", "Ra6+", "First see what the king can take."),
        ("8/3K4/1R4n1/8/8/2k5/8/8 w - - 0 1", "Kd6", "Look along every line for loose men."),
        ("8/8/8/8/8/r7/2k5/4K3 b - - 0 5", "Ra8", "The box must only get smaller."),
        ("k7/8/1K6/8/8/8/2Q5/8 w - - 0 1", "Qc7", "Leave it a move, or give check."),
        ("8/8/2n5/5R2/8/8/8/4K1k1 w - - 0 2", "Ra5", "Look where the knight can jump."),
        ("8/8/8/5K2/4P3/8/8/3k4 w - - 0 1", "Kg4", "Push a pawn that can run."),
        ("8/8/8/7r/8/2k3K1/8/8 b - - 0 3", "Rh1", "The box must only get smaller."),
        ("8/8/K7/2p5/2R5/7k/8/8 w - - 0 2", "Rg4", "Keep a loose rook away from the king."),
        ("8/8/8/8/3R4/2k5/4K3/8 w - - 0 4", "Kf2", "Save it first."),
        ("8/8/8/K7/p3r1k1/8/8/8 b - - 0 1", "Re1", "Guard the pawn before you go on."),
        ("8/8/1R6/8/8/2K5/8/k7 w - - 0 8", "Kd3", "Kings face to face: check from the side."),
        ("8/k1K5/3R4/8/8/8/8/8 w - - 0 16", "Rd4", "A king on the edge: look for mate first."),
    ],
)
def test_a_slip_is_told_with_a_rule_that_is_not_said_again(library: Library, fen: str, san: str, rule: str) -> None:
    board = chess.Board(fen)
    maker = maker_for(library, board)
    facts = maker.facts(board.parse_san(san))
    better = maker.better(facts)
    assert rule in line(facts, better)
    assert rule not in line(facts, better, said=(rule,))


def test_a_rule_belongs_to_what_is_told_and_not_to_what_else_a_move_does(library: Library) -> None:
    board = chess.Board("k7/8/8/8/1Q6/8/3r2K1/8 w - - 0 1")
    facts = maker_for(library, board).facts(board.parse_san("Qxd2"))
    takes, *others = deeds(facts)
    assert others
    assert takes.teaches(facts) == "a capture may answer a check"
    assert all(other.teaches(facts) != "a capture may answer a check" for other in others)


def test_a_pawn_that_could_promote_is_first_of_all_not_promoted_whatever_takes_it(library: Library) -> None:
    """Of six moves only the promotions win, and the king on g6 takes the pawn after any other."""
    for move in ("Ke6", "Ke8", "Kd7"):
        told = said(library, "8/4K1P1/6k1/8/8/6b1/8/8 w - - 0 1", move)
        assert "g8=Q" in told
        assert "save" not in told


def test_a_king_that_comes_up_does_so_for_no_step_of_its_own(library: Library) -> None:
    for fen, move in (("4k2B/8/8/8/8/1B6/8/3K4 w - - 0 1", "Bd4"), ("8/8/8/8/8/qk6/4R3/7K b - - 0 1", "Qd6")):
        told = said(library, fen, move)
        assert sum(map(told.count, ("come up", "king up", "king nearer", "brings it up"))) == 1, told


def test_no_way_out_is_called_shut_while_another_step_leads_off_the_edge(library: Library) -> None:
    """After Qf5 the king still goes to g7: it is shut in, but not on the edge."""
    assert "way out" not in said(library, "6k1/8/8/7Q/8/8/8/K7 w - - 0 1", "Qh3")


@counts(6, 12)
def test_the_way_back_is_told_only_with_what_it_does(library: Library, count: int) -> None:
    backs = named = 0
    for ending in ("KBBK", "KRK", "KQKR"):
        for said_of_it in taken(library, ending, "slips", count):
            facts, better = said_of_it.facts, said_of_it.better
            assert better is not None
            for text in slipped(facts, better):
                if text.startswith("The way back"):
                    backs += 1
                    assert re.search(r", \S+ [a-z]+ ", text)
                    assert (facts.instead.best_san or "") not in slipped(facts, better)[0]
            whole = slipped(facts, better, whole=True)
            named += any(text.startswith("The way back") for text in whole)
    assert backs < named > 3


@counts(6, 12)
def test_a_good_move_and_a_slip_are_held_to_the_same_advice(library: Library, count: int) -> None:
    for ending in ("KBBK", "KRKN"):
        for said_of_it in taken(library, ending, "slips", count):
            board = chess.Board(said_of_it.facts.fen)
            for style in ("method", "shortest"):
                maker = maker_for(library, board, style)
                played = choose(maker.judged, Style(attack=style)).move
                facts = maker.facts(chess.Move.from_uci(said_of_it.facts.move))
                lost_to_it = maker.judged.item(played).outcome > facts.worth.outcome_after
                best = maker.ranking[0].mate_plies or 0
                behind = (maker.judged.item(played).mate_plies or 0) - best
                sooner = 2 * behind < (facts.worth.mate_plies_after or 0) - best
                if facts.instead.best is not None and not facts.places.method_moves and (lost_to_it or sooner):
                    assert facts.instead.best == played.uci()


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/3k4/8/8/K1P5/4q3/8 b - - 0 1", "Qf3", "better Qb5, which keeps the king on the edge"),
        ("k7/8/8/8/2q5/8/8/K7 b - - 0 1", "Qc7", "better Qb4, which keeps the king on the edge"),
        ("8/8/8/2k1b3/1n6/K7/8/8 b - - 0 1", "Bd4", "leaves the way off the edge open: better Kc4, which shuts b3"),
        (
            "8/8/8/8/4K3/8/2r2k2/8 b - - 0 1",
            "Rc7",
            "leaves White's king its room: better Rd2, which shuts the d-file",
        ),
        (
            "8/8/8/8/5R2/4K3/6k1/8 w - - 0 1",
            "Ra4",
            "leaves Black's king in the open: better Rf3, which drives it",
        ),
        ("8/5k2/3P4/6r1/3K4/8/8/8 b - - 0 1", "Rh5", "lets the pawn go on by d7: better Ke6, which attacks it"),
        ("3k4/8/8/2B3K1/8/4r3/8/8 b - - 0 1", "Re8", "saves the rook, but misses the fork Re5+"),
        ("K1k5/8/8/4Q3/8/4r3/8/8 b - - 0 1", "Rd3", "overlooks the loose queen: Rxe5 takes it; the game is lost"),
        ("8/8/K7/8/k7/8/8/1Q6 w - - 0 1", "Qe4+", "takes the queen off the b-file, which held the king on the edge"),
        ("k7/1b1P4/K7/8/8/8/8/8 w - - 0 1", "Kb5", "lets Black's king come to a7: better is Kb6"),
        ("8/8/7N/3k4/5r2/2K5/8/8 b - - 0 1", "Rf2", "allows Ng4, which hits the rook; the win is gone. Better: Ke6"),
        ("3k4/K7/8/8/8/p6B/8/8 b - - 0 1", "Kc7", "gives White time to stop the pawn: Be6; the win is gone"),
        ("8/8/4K3/8/5P2/8/4k3/8 w - - 0 1", "Kf5", "stands in its pawn's way; 3 moves lost"),
        ("1k6/8/8/8/5K2/4r3/p7/8 b - - 0 1", "a1=N", "only makes a knight: Kxe3, and a knight alone cannot mate"),
        (
            "8/2P5/8/K7/7R/8/k7/8 w - - 0 1",
            "c8=B",
            "makes only a bishop; 5 moves lost. A queen mates sooner",
        ),
        ("8/6K1/8/8/8/8/4k2p/4B3 b - - 0 1", "h1=B", "where a queen is needed: bishop against bishop only draws"),
    ],
)
def test_a_slip_is_told_by_what_it_leaves_to_the_other_side(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


@counts(6, 12)
def test_what_is_done_with_the_time_is_done_by_every_best_reply(library: Library, count: int) -> None:
    told = new = 0
    for ending in ("KBNK", "KQK", "KRKP", "KQKB"):
        for one in taken(library, ending, "slips", count):
            facts, board = one.facts, chess.Board(one.facts.fen)
            if facts.given.gains is None:
                continue
            board.push_uci(facts.move)
            reply = board.parse_san(facts.then.ahead[0])
            if facts.given.gains is Gain.PUSH:
                assert board.piece_type_at(reply.from_square) == chess.PAWN
            else:
                assert board.piece_type_at(reply.from_square) == chess.KING
            told, new = told + 1, new + facts.given.gains_now
            assert not facts.given.gains_now or reply.uci() in facts.reproach.new_replies
    assert new
    assert told > new


def test_a_pawn_that_need_not_be_taken_first_is_not_overlooked(library: Library) -> None:
    """Kc3, Kc5, Qe4 and Qf4 mate as soon as the capture."""
    assert "overlooks" not in said(library, "8/8/4p3/8/1KQ5/7k/8/8 w - - 0 1", "Qd3+")


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/2P5/8/8/7k/3r4/8/7K b - - 0 1", "Rd8", "gives the rook away: cxd8=Q+; the game is lost"),
        ("8/8/8/8/P6k/8/4K3/8 w - - 0 1", "Kd1", "a5, and the pawn runs on"),  # no nearer to the other king
        ("6b1/2b5/8/2k5/8/K7/8/8 b - - 0 1", "Be6", "better Be5, which shuts b2, the way off the edge"),
        ("8/6R1/3k2K1/8/5q2/8/8/8 b - - 0 1", "Qh2", "Take a man's squares before you hunt it."),
        ("8/8/8/7P/8/4r3/3K4/k7 b - - 0 1", "Re5", "A rook belongs behind the pawn."),
        ("8/1P6/8/6k1/8/6r1/5K2/8 b - - 0 1", "Rd3", "Rb3 attacks the pawn on b7"),
    ],
)
def test_a_slip_is_told_with_the_move_that_punishes_it_or_the_rule_it_breaks(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in " ".join(said(library, fen, san).split())


@counts(6, 12)
def test_no_rule_about_checks_is_told_of_a_move_that_gives_none(library: Library, count: int) -> None:
    for ending in ("KRKB", "KQKB", "KRKP"):
        for one in taken(library, ending, "slips", count):
            assert one.better is not None
            rules = " ".join(slipped(one.facts, one.better))
            assert one.facts.gives.check or "Check only where " not in rules, rules


def test_a_slip_names_one_reply_and_none_beside_a_mate_that_was_missed(library: Library) -> None:
    """From g4 the king comes to f4 or f3, both as good."""
    assert "Kf3" not in said(library, "8/8/8/8/6K1/8/3r4/6k1 b - - 0 1", "Ra2")
    assert "After " not in said(library, "8/8/8/8/2K5/8/k7/3Q4 w - - 0 1", "Kd3")


def test_the_rule_beside_a_capture_missed_is_about_that_capture(library: Library) -> None:
    """The rook takes the knight, whatever the king may do; a man that is guarded is not told as loose."""
    assert "Look at every capture first." in said(library, "K7/8/8/k7/3r4/3N4/8/8 b - - 0 1", "Rh4")
    assert "loose" not in said(library, "8/8/4k1K1/1r3B2/8/8/8/8 b - - 0 1", "Ke5")
