"""What is told of the move that would have been better holds on the board, and not of the slip as well."""

from __future__ import annotations

import re

import chess
import pytest

from matebot.method.library import Library
from tests.counting import counts
from tests.wording.sampling import taken
from tests.wording.test_sentences import said

_LINE = re.compile(
    r"(?:misses|better is) (\S+?)(?:, which [^:]*)?(?::|, and) (?:if|after) (\S+?),(?: forced,)? ([^\s;,.]+)"
)


@counts(15, 40)
def test_each_move_of_a_line_after_the_better_move_is_a_best_one(library: Library, count: int) -> None:
    """Values are those of the solved endings; the moves are made by python-chess."""
    tables, lines = library.tables, 0
    for ending in ("KBNK", "KBBK", "KRK", "KQKR"):
        for one in taken(library, ending, "slips", count):
            found = _LINE.search(one.text)
            if found is None or one.facts.worth.outcome_after <= 0:
                continue
            board = chess.Board(one.facts.fen)
            for name in found.groups():
                plies = tables.value(board).dtm_plies
                board.push_san(name.rstrip(","))
                after = 0 if board.is_checkmate() else tables.value(board).dtm_plies
                assert plies is not None
                assert after == plies - 1, one.text
            lines += 1
    assert lines > 5


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("7B/7K/8/8/8/8/8/3B2k1 w - - 0 1", "Ba1", "Bg3"),  # after Kf1 that throws two moves away
        ("7B/7K/8/8/8/8/8/3B2k1 w - - 0 1", "Ba1", "takes h2"),  # the king goes to f2
        ("8/2p5/3k4/7K/r7/8/8/8 b - - 0 1", "Kc6", "help the pawn"),  # Ke7 goes away from it
        ("8/8/6K1/8/P7/8/2k2r2/8 b - - 0 1", "Rf3", "nearer to"),  # so does Kd3
        ("8/6K1/3q1B2/8/6k1/8/8/8 b - - 0 1", "Qh2", "rank 6"),  # the bishop stands on it
        ("4B3/8/8/8/8/8/2K5/k4N2 w - - 0 1", "Bf7", "centre"),  # it is the stalemate that matters
        ("8/2B5/8/8/3K4/8/3k4/7B w - - 0 1", "Kc5", "off the edge"),  # Ba8 loses less and stays there
        ("8/1k6/8/7p/2K5/8/8/8 b - - 0 1", "Ka8", "inside the square"),  # it has yet to step into it
        ("8/4K3/8/8/8/2qk4/8/8 b - - 0 1", "Qa3+", "check later"),  # Qe5+ is as good
        ("8/8/3B4/6Nk/5K2/8/8/8 w - - 0 1", "Ne4", "After Ne4, Kg6"),  # g6 was open before
        ("7K/8/8/7k/1b6/8/2b5/8 b - - 0 1", "Ba3", "h7"),  # the bishop holds it already
        ("8/B7/K7/8/1q1k4/8/8/8 b - - 0 1", "Kc4", "falls"),  # not after Bd8
        ("8/8/8/2p5/8/2QK1k2/8/8 w - - 0 1", "Kd2+", "to its pawn"),  # after Ke4 that is taken
        ("8/5K2/1k6/8/2Q5/8/1b6/8 w - - 0 1", "Qd3", "after the bishop"),  # it is the queen that hunts it
        ("8/8/2R5/k7/3P4/8/3K4/8 w - - 0 1", "Kd3", "brings the king up"),  # so it does
        ("8/8/8/8/8/4K3/2R2P2/1k6 w - - 0 1", "Rd2", "shuts the king in"),  # in hardly more
        ("8/8/K7/8/4p3/2R5/k7/8 w - - 0 1", "Kb7", "nearer to the pawn"),  # b7 is as near
        ("8/2k2K2/8/8/8/8/3P4/2r5 b - - 0 1", "Kd8", "stands in the way"),  # the king on d8 does so too
        ("1R6/8/k7/2K5/P7/8/8/8 w - - 0 1", "Ra8+", "shuts a5"),  # the check takes a5 as well
    ],
)
def test_what_does_not_hold_of_the_better_move_or_holds_of_the_slip_is_not_told(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/6K1/3q1B2/8/6k1/8/8/8 b - - 0 1", "Qh2", "attacks the bishop"),
        ("3K4/8/P7/8/8/7r/8/k7 b - - 0 1", "Rh5", "White's king comes to lead the pawn by Kc7, and the rook must be"),
        ("8/3K3R/8/4p3/2k5/8/8/8 w - - 0 1", "Rh8", "Black's king comes to lead the pawn by Kd3"),  # by its way
        ("8/6r1/2k5/8/8/p6K/8/8 b - - 0 1", "Rf7", "takes the rook off the g-file: Kg2 gets off the edge"),
        ("8/8/8/8/8/2k5/2Bq4/1K6 b - - 0 1", "Qe3", "misses mate in two: Qxc2+ leaves only Ka1, then Qb2#"),
        ("8/8/4b3/8/8/3K4/n7/3k4 b - - 0 1", "Bd5", "Kd4 attacks the bishop; 2 moves lost. Better is Nb4+"),
        ("8/8/4b3/8/8/3K4/n7/3k4 b - - 0 1", "Bd5", "Leave no man loose."),
        ("8/2k5/R7/8/8/7K/8/8 w - - 0 1", "Ra8", "Hold the line."),
        ("8/8/K7/1n4R1/1k6/8/8/8 w - - 0 1", "Kb6", "Attack a man once more than it is guarded."),
        ("5K2/7k/8/7b/8/8/n7/8 b - - 0 1", "Bg4", "First bring all the men into play."),
        ("B7/1P6/4k3/8/8/8/8/6K1 w - - 0 1", "b8=N", "makes only a knight"),
        ("8/8/8/1p5k/8/3r4/2K5/8 b - - 0 1", "Rb3", "Kxb3, and the pawn alone does not win"),
        ("k7/8/8/6K1/8/8/8/7r b - - 0 1", "Rg1+", "Rf1 shuts the f-file to it"),
        ("k2r3N/8/4K3/8/8/8/8/8 b - - 0 1", "Rd7", "Rxh8 takes the loose knight. Look at every capture first."),
        ("8/8/8/8/4n3/5k2/7b/3K4 b - - 0 1", "Nd6", "breaks off the W: from e4 the knight held d2"),
        ("2k5/3N4/3K2B1/8/8/8/8/8 w - - 0 1", "Nb6+", "breaks off the W: the knight's next square is c5"),
        ("8/7B/6K1/8/3B4/k7/8/8 w - - 0 1", "Be3", "Kg5, which brings it towards Black's king"),
        ("8/8/8/5K2/2k5/6p1/2r5/8 b - - 0 1", "Rg2", "stands in the pawn's way; 5 moves lost"),
        ("5K2/5n2/5k2/8/8/8/2b5/8 b - - 0 1", "Bg6", "lets White's king towards the wrong corner h8: Kg8"),
        ("8/8/P4R2/2k5/8/8/8/K7 w - - 0 1", "Rf3", "lets Black's king attack the pawn by Kb6: a7"),
        ("2b5/8/8/8/7p/K7/8/2k5 b - - 0 1", "Bf5", "loses time: better h3, and the pawn runs on"),
        ("8/8/8/8/4K1P1/1k6/8/2r5 b - - 0 1", "Rc4+", "drives White's king to f5, beside its pawn"),
        ("8/8/8/8/1NB1K3/8/8/1k6 w - - 0 1", "Nc6", "Kd3, which brings it nearer to Black's"),
        ("3r4/8/8/8/8/p6k/8/5K2 b - - 0 1", "Rd1+", "if Ke1, Rb2 shuts the king in on rank 1"),
        ("7K/8/8/7k/1b6/8/2b5/8 b - - 0 1", "Ba3", "Kg6, which covers g7"),
        (
            "1k6/8/8/1B6/3K4/8/q7/8 b - - 0 1",
            "Ka8",
            "brings the king off the edge; 3 moves lost. First the king to the centre",
        ),
        ("8/8/2R5/8/4K1k1/8/8/8 w - - 0 1", "Rc4", "drives the king to the edge: if Kh5"),
    ],
)
def test_the_better_move_is_told_by_what_it_does_there(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/3B4/8/2K1N3/8/k7 w - - 0 1", "Ba8", "drives the king"),  # so quick is Bb3, which gives no check
        ("8/8/5b2/8/8/1bk5/8/1K6 b - - 0 1", "Kb4", "corner"),  # so quick is Bd8, which leaves c1 open
        ("8/8/8/1kb1K3/8/2Q5/8/8 w - - 0 1", "Qf3", "c-file"),  # behind the bishop Kc6 was legal
    ],
)
def test_a_slip_is_not_told_by_what_moves_as_good_do_without_nor_by_a_line_that_held_nobody(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words not in said(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/5p2/8/8/8/7k/8/6K1 b - - 0 1", "Kg4", "get in front of the pawn on f7: Kf2"),
        ("8/5p2/8/8/8/7k/8/6K1 b - - 0 1", "Kg4", "Keep the king from the pawn."),
        ("8/8/5K2/3k4/8/2Q5/8/8 w - - 0 1", "Qc5+", "Close checks need a guard."),
        ("8/7R/5K2/8/1p6/8/8/k7 w - - 0 1", "Rf7", "A rook belongs behind the pawn."),  # only Rb7 wins
        ("8/8/8/4k3/K6p/8/8/8 b - - 0 1", "Kf4", "loses time: h3 at once outruns the king"),
        ("8/8/k7/1r6/8/2p5/6K1/8 b - - 0 1", "Rc5", "loses time: better c2, and the pawn runs on"),
    ],
)
def test_a_slip_teaches_what_the_men_are_lost_by_and_where_the_king_gets_in_the_way(
    library: Library, fen: str, san: str, words: str
) -> None:
    assert words in said(library, fen, san)
