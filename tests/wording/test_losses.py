"""What is told of a man lost, of an exchange, and from which move the price is counted."""

from __future__ import annotations

import chess
import pytest

from matebot.method.library import Library
from tests.wording.sampling import maker_for, said_of


def told(library: Library, fen: str, san: str, attack: str = "shortest") -> str:
    board = chess.Board(f"{fen} - - 0 1")
    return said_of("", maker_for(library, board, attack), board.parse_san(san)).text


@pytest.mark.parametrize(
    ("fen", "san", "taken"),
    [
        ("8/8/8/4K3/3r4/8/4k3/1N6 b", "Rd2", "the rook for the knight: Nxd2 Kxd2"),
        ("5k2/8/2b5/8/8/3K4/8/4Q3 w", "Qe4", "the queen for the bishop: Bxe4+ Kxe4"),
    ],
)
def test_a_man_is_not_given_away_where_what_takes_it_is_taken(library: Library, fen: str, san: str, taken: str) -> None:
    text = told(library, fen, san)
    assert taken in text
    assert " away" not in text
    board = chess.Board(f"{fen} - - 0 1")
    board.push_san(san)
    for name in taken.partition(": ")[2].split():
        move = board.parse_san(name)
        assert board.is_capture(move)
        board.push(move)


@pytest.mark.parametrize("san", ["Rd8+", "Ra1"])
def test_a_pawn_that_could_promote_was_not_to_be_saved(library: Library, san: str) -> None:
    text = told(library, "r7/8/8/8/5k2/3K4/2p5/8 b", san)
    assert "c1=Q comes first" in text
    assert "save" not in text


def test_the_move_that_keeps_a_man_attacked_is_named(library: Library) -> None:
    assert "e5 keeps it" in told(library, "8/3Kp3/8/8/7r/8/6k1/8 b", "Rg4")
    assert "Rh6 keeps it" in told(library, "1k6/1p6/R7/8/8/8/7K/8 w", "Kg3")


def test_a_pin_that_costs_the_queen_is_told_before_what_else_was_missed(library: Library) -> None:
    text = told(library, "8/8/4k3/8/8/3R1K2/1q6/8 b", "Qe5")
    assert "allows Re3, which pins the queen to its king" in text
    board = chess.Board("8/8/4k3/8/8/3R1K2/1q6/8 b - - 0 1")
    board.push_san("Qe5")
    board.push_san("Re3")
    assert board.is_pinned(chess.BLACK, chess.E5)


def test_moves_lost_are_counted_from_the_move_named(library: Library) -> None:
    """The method takes the opposition, a move behind the check: after each the plies to mate are looked up."""
    fen = "8/8/4k3/2K5/1R6/8/8/8 w"
    board = chess.Board(f"{fen} - - 0 1")
    for attack, named, words in (("method", "Kc6", "mate comes {} moves later"), ("shortest", "Re4+", "{} moves lost")):
        text = told(library, fen, "Kb6", attack)
        plies = {}
        for san in ("Kb6", named):
            board.push_san(san)
            plies[san] = library.tables.value(board).dtm_plies or 0
            board.pop()
        assert named in text
        assert words.format((plies["Kb6"] - plies[named]) // 2) in text


def test_a_king_is_not_left_free_by_a_rook_that_cuts_it_off_too(library: Library) -> None:
    assert " free" not in told(library, "8/1K1k4/8/8/5r2/8/8/8 b", "Rc4")


def test_no_king_comes_to_help_a_pawn_that_is_taken_first(library: Library) -> None:
    text = told(library, "R7/8/8/8/8/3K3P/7k/8 w", "Re8")
    assert "help the pawn" not in text
    assert "escorted" not in text


@pytest.mark.parametrize(("fen", "san"), [("8/7R/8/4Kq2/8/8/8/2k5 w", "Kd6"), ("8/k7/8/8/4b3/5K2/2P5/8 w", "Ke3")])
def test_what_could_be_taken_out_of_check_teaches_that_a_capture_answers_it(
    library: Library, fen: str, san: str
) -> None:
    assert chess.Board(f"{fen} - - 0 1").is_check()
    assert "A capture may answer a check." in told(library, fen, san)


def test_where_a_step_of_the_king_is_as_good_what_the_pawn_may_do_is_told_as_time_lost(library: Library) -> None:
    for fen, san, plans, words, lesson in (
        (
            "8/8/8/8/4k3/1K5p/8/8 b",
            "Ke3",
            ("h2", "Kd4"),
            "better h2, and the pawn runs on",
            "Bring pawn or king nearer the goal each time.",
        ),
        (
            "8/P7/5K2/1k6/8/8/8/8 w",
            "Kf7",
            ("a8=Q", "Ke5"),
            "better is a8=Q or Ke5",
            "Bring pawn or king nearer the goal each time.",
        ),
    ):
        board = chess.Board(f"{fen} - - 0 1")
        best = (library.tables.value(board).dtm_plies or 0) - 1
        text = told(library, fen, san)
        for plan in plans:
            board.push_san(plan)
            assert library.tables.value(board).dtm_plies == best
            board.pop()
        assert f"loses time: {words}" in text
        assert lesson in text


def test_a_man_before_its_own_pawn_is_told_as_such(library: Library) -> None:
    text = told(library, "8/8/8/1K2p3/7r/5k2/8/8 b", "Re4")
    assert "stands in the pawn's way" in text
    assert text.endswith("Keep out of your own pawn's way.")


def test_what_the_king_has_not_come_for_is_told_where_only_its_steps_are_best(library: Library) -> None:
    assert "leaves Black's king behind" in told(library, "8/5K2/3qB3/8/8/8/8/3k4 b", "Qe5")
    assert "leaves Black's king behind" not in told(library, "5r2/1k6/8/8/8/4K3/8/8 b", "Rf6")  # Re8+ is as good


@pytest.mark.parametrize(
    ("fen", "san", "rule"),
    [
        ("3K4/8/4k3/3b4/8/3n4/8/8 b", "Be4", "Lead it to the bishop's corner."),
        ("8/8/8/3B4/8/6B1/4K3/6k1 w", "Ke3", "Two bishops force mate in a corner."),
        ("8/8/8/8/8/5KBB/8/6k1 w", "Ke4", "Keep the king by the corner where it mates."),
    ],
)
def test_where_the_corner_decides_the_rule_is_about_corners(library: Library, fen: str, san: str, rule: str) -> None:
    assert told(library, fen, san).endswith(rule)


def test_the_move_after_the_better_one_is_told_with_what_it_does(library: Library) -> None:
    text = told(library, "8/1p6/8/k7/8/8/8/3K4 b", "b5")
    assert "misses Kb4: if Kc2, Ka3 clears the way for the pawn" in text


@pytest.mark.parametrize(
    ("fen", "san", "rule"),
    [
        ("8/8/6k1/7R/K7/8/8/8 w", "Rh3", "The box must only get smaller."),
        ("8/8/5K2/8/4r3/8/6k1/8 b", "Kh1", "In the middle a man guards more."),
        ("3k4/6B1/8/8/K7/8/5p2/8 b", "f1=B", "Just make a queen."),
        ("5b2/8/8/8/8/7b/2K2k2/8 b", "Bg4", "Guard the square the king wants."),
    ],
)
def test_what_a_cause_broke_gives_its_rule(library: Library, fen: str, san: str, rule: str) -> None:
    assert rule in told(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/3k4/1n6/8/1Kb5/8 b", "Na2", "Do not move the only guard of a man"),
        ("8/8/8/4K3/8/4kB2/8/4B3 w", "Bd2+", "leaves both bishops hanging: Kxd2 or Kxf3"),
        ("8/8/3k4/8/8/8/8/K1Q5 w", "Qc7+", "Kxc7, and bare kings are left"),
        ("5B2/8/8/q7/8/5k2/8/3K4 b", "Qb4", "Bxb4, and a bishop alone cannot mate"),
        ("7q/2P5/8/3K4/8/4k3/8/8 b", "Qe5+", "Kxe5, and the pawn wins; the game is lost"),
        ("8/4KR2/8/8/8/6kq/8/8 b", "Qe6+", "Kxe6, and the rook wins; the game is lost"),
    ],
)
def test_of_a_man_given_away_it_is_told_what_is_left(library: Library, fen: str, san: str, words: str) -> None:
    assert words in told(library, fen, san)


@pytest.mark.parametrize(
    ("fen", "san", "words", "without"),
    [
        ("2k5/8/8/8/8/8/6n1/2K4b b", "Kd8", "Kb7, which brings the king off the edge", "centre"),
        ("8/8/7K/8/5kr1/8/8/8 b", "Rg8", "within reach of White's king: Kh7", "cage"),
        ("8/8/4k3/2r5/8/8/1K6/8 b", "Kf7", "misses Kd5, which guards the rook;", "shuts the king in"),
        ("8/1K6/8/8/8/1k4N1/4r3/8 b", "Re6", "misses Re5: away from its king", "cuts the king off"),
        ("5k2/1B6/8/8/3r4/8/8/1K6 b", "Rd5", "Better: Rb4+ forks king and bishop.", "Look at"),
        ("8/8/8/1K6/3k3b/5b2/8/8 b", "Bh5", "lets go of c6: Kc6", "gives White time"),
        ("8/6P1/8/2KB4/8/2k5/8/8 w", "Kc6", "misses g8=Q; 2 moves lost. Queen at once", "makes a queen"),
        ("8/3n4/8/8/7R/7K/8/6k1 w", "Rf4", "misses Kg3: away from its king", "shuts f2"),
        ("8/8/1Q6/8/1r6/k7/8/3K4 w", "Qa7+", "misses Qa6+, which gives check after check", "drives the king"),
        ("8/8/p4Q2/8/8/K7/8/6k1 w", "Ka2", "better Kb3", "guards a3"),
        ("8/3K2k1/8/8/b7/8/4Q3/8 w", "Kd6", "the king's way to its bishop", "is after the bishop"),
        ("8/8/8/8/4k3/5R2/8/2K5 w", "Rf7", "better is Rc3", "prepares the opposition"),
        # The slip has won the rook.
        ("8/6Q1/3r4/2K5/k7/8/8/8 w", "Kxd6", "Better: Qb2 threatens mate by Qa2#", "First win the rook"),
        ("8/5R2/8/4K3/1p6/8/3k4/8 w", "Rf2+", "Rf3 keeps the win", "drives Black's king"),
        ("8/6P1/7k/8/7K/6B1/8/8 w", "g8=N+", "makes only a knight", "A queen mates sooner"),
        ("8/8/8/5B1k/3B4/8/8/6K1 w", "Bf6", "Be3", "on the h-file"),
        # It stood beside the king before.
        ("2K2k2/4N3/4B3/8/8/8/8/8 w", "Ng6+", "leaves the knight within reach of Black's king", "puts"),
    ],
)
def test_a_missed_move_is_told_by_what_the_slip_does_not_do_as_well(
    library: Library, fen: str, san: str, words: str, without: str
) -> None:
    text = told(library, fen, san)
    assert words in text
    assert without not in text
