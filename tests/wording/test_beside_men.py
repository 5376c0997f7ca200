"""What is told of kings and men beside each other, asked of boards alone."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import chess
import pytest

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.leads_to import LeadsTo
from matebot.ideas.mates import Holder, Mates
from matebot.ideas.narrows import Narrows
from matebot.ideas.prepares import Next
from matebot.wording.cages import _beyond
from matebot.wording.captures import _left_over, _takes
from matebot.wording.chances import _sooner
from matebot.wording.counsel import _holds_by_stalemate, _may_get_in_front
from matebot.wording.patterns import _round_it
from matebot.wording.rook_draws import does
from matebot.wording.room_left import edge_beside, line_taken
from matebot.wording.rooms import narrows
from matebot.wording.saves import _meets
from tests.wording.bare import facts_of


@pytest.mark.parametrize(
    ("fen", "uci", "may"),
    [
        ("8/8/3k4/8/8/4P3/8/K7 b - - 0 1", "d6d5", True),
        ("8/8/3k4/8/8/4P3/3K4/8 b - - 0 1", "d6d5", False),  # the other king leads it
        ("8/8/3k4/8/8/4P3/3K4/8 b - - 0 1", "d6e5", True),  # it stands there
        ("8/8/3k4/8/8/4P3/7R/K7 b - - 0 1", "d6d5", False),
        ("8/8/3k4/8/8/4P2B/8/K7 b - - 0 1", "d6d5", True),
        ("8/8/3k4/8/8/4P1P1/8/K7 b - - 0 1", "d6d5", False),
        ("8/8/k7/4P3/8/8/8/6K1 b - - 0 1", "a6a7", True),
        ("8/8/8/k3P3/8/8/8/6K1 b - - 0 1", "a5a4", True),
        ("8/8/4P3/k7/8/8/8/6K1 b - - 0 1", "a5b4", False),
        ("8/8/4P3/k7/8/8/8/6K1 b - - 0 1", "a5b6", True),
        ("6k1/8/8/8/4p3/8/K7/8 w - - 0 1", "a2b3", True),
        ("6k1/8/8/8/8/K3p3/8/8 w - - 0 1", "a3b3", True),
        ("6k1/8/8/8/K7/4p3/8/8 w - - 0 1", "a4a5", False),
        ("8/8/4p3/3k4/8/8/3K4/8 w - - 0 1", "d2c2", False),
        ("8/8/4p3/3k4/8/8/3K4/8 w - - 0 1", "d2e2", True),
        ("8/8/8/3k4/4P3/8/8/K7 b - - 0 1", "d5e4", False),  # it is taken
        ("8/8/8/3k4/4P3/8/6P1/K7 b - - 0 1", "d5e4", True),
    ],
)
def test_a_king_may_get_in_front_of_a_pawn_that_nobody_leads_and_that_it_catches(fen: str, uci: str, may: bool) -> None:
    assert _may_get_in_front(facts_of(fen, uci)) == may


@pytest.mark.parametrize(
    ("fen", "uci", "holds"),
    [
        ("1k6/8/1K6/8/8/8/1B6/8 b - - 0 1", "b8a8", True),
        ("1k6/3K4/8/8/8/8/1B6/8 b - - 0 1", "b8a8", False),
        ("1k6/8/K7/8/8/8/1B6/8 b - - 0 1", "b8a8", True),
        ("1k6/8/8/1K6/8/8/1B6/8 b - - 0 1", "b8a8", False),
        ("k7/8/1K6/8/8/8/1B6/8 b - - 0 1", "a8b8", False),
    ],
)
def test_a_king_in_the_corner_holds_by_stalemate_where_the_other_king_leaves_it_one_square(
    fen: str, uci: str, holds: bool
) -> None:
    assert _holds_by_stalemate(chess.A8, facts_of(fen, uci)) == holds


@pytest.mark.parametrize(
    ("fen", "taken", "text"),
    [
        ("8/8/8/8/8/7k/8/K3Q3 w - - 0 1", ("e8", "e7"), "shuts the e-file to Black's king"),
        ("8/8/8/8/8/7k/8/K3Q3 w - - 0 1", ("a4", "c4"), "shuts rank 4 to Black's king"),
        ("8/8/8/8/8/7k/8/K3Q3 w - - 0 1", ("e8", "d7"), "takes e8 and d7 from Black's king"),
        ("8/8/8/8/8/7k/8/K3Q3 w - - 0 1", ("e8",), "takes e8 from Black's king"),
        ("8/8/8/8/8/7k/8/K3R3 w - - 0 1", ("e8", "e7"), "takes e8 and e7 from Black's king"),
    ],
)
def test_a_queen_shuts_the_line_on_which_several_squares_lie(fen: str, taken: tuple[str, ...], text: str) -> None:
    assert line_taken(taken, facts_of(fen, "e1e4", by_winner=True)) == text


@pytest.mark.parametrize(
    ("fen", "uci", "minor", "text"),
    [
        ("8/8/8/8/3k4/8/1r1K2N1/8 w - - 0 1", "d2e1", "knight", "king and knight come closer together"),
        ("8/8/8/8/3k4/8/1r1K2N1/8 w - - 0 1", "d2e1", "bishop", ""),
        ("8/8/5n2/8/3k4/8/1K6/6R1 b - - 0 1", "d4e5", "knight", "it guards the knight"),
        ("8/8/5n2/8/3k4/8/1K6/6R1 b - - 0 1", "d4e3", "knight", ""),
        ("8/8/1n6/8/4k3/2K5/5R2/8 b - - 0 1", "e4e3", "knight", "it attacks the rook"),
        ("8/8/1n6/8/4k3/6K1/5R2/8 b - - 0 1", "e4e3", "knight", ""),  # its king guards it
        ("8/8/1n6/8/8/4k3/2K2R2/8 b - - 0 1", "e3f2", "knight", ""),
        ("8/1n6/8/8/3k4/8/1K6/R7 b - - 0 1", "d4c5", "knight", "king and knight come closer together"),
        ("8/8/8/8/n7/2K5/4k3/R7 b - - 0 1", "a4b6", "knight", ""),
    ],
)
def test_against_a_rook_it_is_told_what_a_step_does_for_the_last_man(fen: str, uci: str, minor: str, text: str) -> None:
    told = does(minor, facts_of(fen, uci))
    assert (
        told.replace(told.partition(" ")[0], "it", 1) == text if "attacks" in text or "guards" in text else told == text
    )


@pytest.mark.parametrize(
    ("fen", "uci", "loose", "ahead", "takes", "left"),
    [
        ("8/8/8/8/3r4/2K5/8/7k w - - 0 1", "c3d4", "", (), "the rook, far from its king", ""),
        ("8/8/8/8/3r4/2K2k2/8/8 w - - 0 1", "c3d4", "", (), "the rook, one step out of its king's reach", ""),
        ("8/8/8/6k1/3r4/2K5/8/8 w - - 0 1", "c3d4", "", (), "the rook, left alone by its king", ""),
        ("8/8/8/8/3rk3/2K5/8/3Q4 w - - 0 1", "d1d4", "", (), "the rook with the support of the king", "edge"),
        ("8/8/8/8/3rk3/8/8/K2Q4 w - - 0 1", "d1d4", "d4", ("Kxd4", "Kb2"), "the rook", ": if Kxd4, Kb2"),
        ("8/8/8/2K5/3rk3/8/8/3Q4 w - - 0 1", "d1d4", "d4", ("Kf3", "Kc4"), "the rook", ""),
        ("8/8/8/2K5/3rk3/8/8/3Q4 w - - 0 1", "d1d4", "d4", ("Kxd4",), "the rook", ""),
        ("8/8/2n5/8/3rk3/2K5/8/3Q4 w - - 0 1", "d1d4", "d4", ("Nxd4", "Kxd4"), "the rook", ": if Nxd4, Kxd4"),
        ("8/8/8/8/R2rk3/8/8/K2Q4 w - - 0 1", "d1d4", "", (), "the rook", "king"),
    ],
)
def test_a_capture_is_told_by_who_could_have_guarded_and_by_what_comes_then(
    fen: str, uci: str, loose: str, ahead: tuple[str, ...], takes: str, left: str
) -> None:
    facts = facts_of(fen, uci, by_winner=True, loose=loose, ahead=ahead)
    assert _takes(facts) == f"takes {takes}"
    assert _left_over(facts) == left if loose else _left_over(facts).endswith(left)


@pytest.mark.parametrize(
    ("fen", "uci", "outcome", "left"),
    [
        ("8/8/8/3np3/8/2K5/7k/3R4 w - - 0 1", "d1d5", 1, ": king and rook beat king and pawn"),
        ("8/8/8/3np3/8/2K5/7k/3R4 w - - 0 1", "d1d5", 0, ": king and rook against king and pawn is left"),
        ("8/8/8/3np3/8/2K5/7k/3R4 w - - 0 1", "d1d5", -1, ": king and rook against king and pawn is left"),
        ("8/8/8/3n4/8/2K5/7k/3B4 w - - 0 1", "c3c4", 0, ": king and bishop against king and knight is left"),
        ("8/8/8/3np3/8/2K5/7k/3Q4 w - - 0 1", "d1d5", 1, ": the queen comes in time against the other pawn"),
        (
            "8/8/8/3nb3/8/1K6/7k/3Q4 w - - 0 1",
            "d1d5",
            1,
            ": the bishop guards one colour only, and king and queen beat it",
        ),
        ("8/8/4b3/3n4/8/2K5/7k/3Q4 w - - 0 1", "d1d5", 1, ": king and queen beat a lone bishop"),
        ("8/8/8/3nb3/8/1K6/7k/1B1Q4 w - - 0 1", "d1d5", 1, ": king, queen and bishop beat king and bishop"),
        ("8/8/8/3nn3/8/2K5/7k/3Q4 w - - 0 1", "d1d5", 0, ": king and queen against king and knight is left"),
        ("8/8/8/3n4/8/2K5/2P4k/8 w - - 0 1", "c3d4", 0, ": king and pawn against king and knight is left"),
    ],
)
def test_what_is_left_after_a_capture_is_told_by_the_men_and_by_what_they_are_worth(
    fen: str, uci: str, outcome: int, left: str
) -> None:
    assert _left_over(facts_of(fen, uci, by_winner=True, worth=SimpleNamespace(outcome_after=outcome))) == left


@pytest.mark.parametrize(
    ("mine", "wanted", "told"),
    [
        (None, "pawn", True),
        ("pawn", "pawn", False),
        ("longer", "pawn", True),
        ("pawn", "longer", False),
        ("man", "pawn", True),
        ("pawn", "man", False),
        ("man", "man", False),
        ("pawn", None, False),
    ],
)
def test_a_pawn_that_promotes_with_the_third_move_is_told_of_only_where_the_slip_is_slower(
    mine: str | None, wanted: str | None, told: bool
) -> None:
    moves = tuple(map(chess.Move.from_uci, ("a7a6", "e5e6", "a6a5", "e6e7", "a5a4", "e7e8q")))
    leads = {
        "pawn": LeadsTo(moves[:4], Next.PROMOTION, chess.QUEEN),
        "longer": LeadsTo(moves, Next.PROMOTION, chess.QUEEN),
        "man": LeadsTo(moves[:4], Next.CAPTURE, chess.ROOK),
        None: None,
    }
    board = chess.Board("8/k7/8/4P3/8/8/8/K7 b - - 0 1")
    one, other = (
        SimpleNamespace(
            seen=SimpleNamespace(
                idea=lambda kind, lead=leads[name]: lead,
                goes_alike=lambda reply, answer: False,
                name_after=lambda *line: board.variation_san(line).split()[-1].rpartition(".")[2],
            )
        )
        for name in (mine, wanted)
    )
    text = _sooner(cast("MoveFacts", one), cast("MoveFacts", other))
    assert text == ("if Ka6, e6, and the pawn promotes" if told else "")


@pytest.mark.parametrize(
    ("king", "piece", "line"),
    [
        ("d1", "h2", "rank 1"),
        ("d8", "a7", "rank 8"),
        ("d1", "h3", ""),
        ("d2", "h3", ""),
        ("a4", "b8", "the a-file"),
        ("h4", "g1", "the h-file"),
        ("a4", "c8", ""),
        ("d4", "e5", ""),
    ],
)
def test_a_king_is_held_on_the_line_of_the_edge_beside_that_of_a_piece(king: str, piece: str, line: str) -> None:
    assert edge_beside(chess.parse_square(king), chess.parse_square(piece)) == line


@pytest.mark.parametrize(
    ("by", "others", "text"),
    [
        (chess.KNIGHT, (chess.BISHOP, chess.KING), "bishop and king hold every way out, and the knight checks"),
        (chess.KNIGHT, (chess.KING, chess.ROOK), "rook and king hold every way out, and the knight checks"),
        (chess.KNIGHT, (chess.BISHOP, chess.ROOK, chess.KING), None),
        (chess.KNIGHT, (chess.BISHOP, chess.BISHOP, chess.KING), None),
        (chess.KNIGHT, (chess.BISHOP, chess.BISHOP), None),
        (chess.KNIGHT, (chess.KNIGHT, chess.KING), None),
        (chess.KNIGHT, (chess.KING,), None),
    ],
)
def test_a_mate_is_round_the_king_where_two_men_of_other_kinds_hold_the_ways_out(
    by: int, others: tuple[int, ...], text: str | None
) -> None:
    checks, *rest = (SimpleNamespace(man=man, checks=not place, alone=()) for place, man in enumerate((by, *others)))
    found = _round_it(cast("Mates", SimpleNamespace(holders=(*rest, checks), in_corner=False)), cast("Holder", checks))
    assert (None if found is None else found.text) == text


@pytest.mark.parametrize(
    ("square", "man", "line", "side"),
    [
        ("c4", "b7", "file b", 1),
        ("a8", "b1", "file b", -1),
        ("b8", "b1", "file b", 0),
        ("a8", "b1", "rank 1", 7),
        ("h1", "a2", "rank 2", -1),
        ("h2", "a2", "rank 2", 0),
        ("g4", "e3", "diagonal c1-h6", -1),
        ("f5", "e3", "diagonal c1-h6", 1),
        ("g5", "e3", "diagonal c1-h6", 0),
        ("b6", "b7", "diagonal a8-h1", -1),
        ("c7", "b7", "diagonal a8-h1", 1),
        ("h1", "b7", "diagonal a8-h1", 0),
    ],
)
def test_a_square_lies_on_one_side_of_a_mans_line_or_on_it(square: str, man: str, line: str, side: int) -> None:
    assert _beyond(chess.parse_square(square), chess.parse_square(man), line) == side


@pytest.mark.parametrize(
    ("line", "check", "sizes", "text"),
    [
        ("diagonal a4-d1", False, (40, 30), "shuts the diagonal a4-d1 to Black's king"),
        ("diagonal a3-c1", False, (40, 30), ""),
        ("rank 4", False, (40, 30), "shuts rank 4 to Black's king"),
        ("rank 4", True, (40, 30), "takes a good part of the board from Black's king"),  # it stands there, in check
        ("file b", True, (40, 30), "shuts the b-file to Black's king"),
        ("", False, (40, 20), "takes a good part of the board from Black's king"),
        ("", False, (40, 21), ""),
        ("", True, (40, 39), "takes a good part of the board from Black's king"),
    ],
)
def test_a_line_is_shut_to_a_king_that_stands_elsewhere_where_it_has_four_squares(
    line: str, check: bool, sizes: tuple[int, int], text: str
) -> None:
    idea, gives = Narrows(*sizes, (line,) if line else ()), SimpleNamespace(check=check)
    facts = facts_of("8/8/8/8/7k/8/2B5/1B5K w - - 0 1", "c2e4", by_winner=True, gives=gives)
    assert narrows(idea, facts) == text


@pytest.mark.parametrize(
    ("uci", "answers", "discovers", "text"),
    [
        ("c3b2", True, False, "steps out of the check"),
        ("d1d3", True, False, "blocks the check"),
        ("e1e3", True, False, ""),  # by taking
        ("d1d3", False, True, "discovers check"),
        ("e1e3", False, True, ""),
        ("d1d3", False, False, ""),
    ],
)
def test_a_check_is_told_to_be_met_or_uncovered_by_a_move_that_takes_nothing(
    uci: str, answers: bool, discovers: bool, text: str
) -> None:
    seen = SimpleNamespace(answers_check=answers, discovers_check=discovers)
    assert _meets(facts_of("8/8/8/8/8/2K1r2k/8/3RR3 w - - 0 1", uci, by_winner=True, seen=seen)) == text
