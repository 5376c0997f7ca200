"""Verbs agree in number with what is counted on the board, and nothing is told that has an end but no beginning."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import TYPE_CHECKING, cast

import chess
import pytest

from matebot.ideas.drawn.pawn_on_the_seventh import PawnOnTheSeventh
from matebot.method.library import Library
from matebot.wording import draws, lasting
from tests.wording.sampling import Said, maker_for, said_of

if TYPE_CHECKING:
    from matebot.facts.move_facts import MoveFacts
    from matebot.ideas.critical import Critical


def said(library: Library, fen: str, san: str) -> Said:
    board = chess.Board(fen)
    return said_of("", maker_for(library, board), board.parse_san(san))


@pytest.mark.parametrize(
    ("fen", "san", "does"),
    [
        ("8/3b4/6P1/7K/8/8/4k3/8 w - - 0 1", "g7", "stop the pawn"),
        ("1b6/8/K4P2/8/8/8/8/7k w - - 0 1", "f7", "stops the pawn"),
        ("8/8/8/8/4KB2/5p2/8/4k3 b - - 0 1", "Ke2", "stop the pawn"),
        ("k7/6K1/8/r7/7N/8/8/8 b - - 0 1", "Ra4", "hold"),
        ("8/8/6N1/3kr3/8/2K5/8/8 b - - 0 1", "Re6", "holds"),
    ],
)
def test_the_replies_that_solve_a_problem_are_those_that_draw_and_stop_the_pawn_where_there_is_one(
    library: Library, fen: str, san: str, does: str
) -> None:
    """Counted with python-chess and the value of each position; one holds, several hold."""
    board, holding = chess.Board(fen), list[str]()
    text = said(library, fen, san).text
    assert ("pawn" in does) == bool(board.pawns)
    board.push_san(san)
    for reply in board.legal_moves:
        then = board.copy(stack=False)
        then.push(reply)
        if library.tables.value(then).outcome == 0:
            holding.append(board.san(reply))
    assert does.split()[0].endswith("s") == (len(holding) == 1)
    found = re.search(rf"sets a problem: only (.*?) {does}\b", text)
    assert found is not None
    assert sorted(re.split(r", | and ", found[1])) == sorted(holding)


@pytest.mark.parametrize(
    ("fen", "san"), [("8/8/8/8/4KB2/5p2/8/4k3 b - - 0 1", "Kf2"), ("8/8/8/8/4KB2/5p2/8/6k1 b - - 0 1", "Kf2")]
)
def test_a_king_that_comes_nearer_to_the_way_of_its_pawn_goes_to_help_it_whatever_its_colour(
    library: Library, fen: str, san: str
) -> None:
    other, mirrored = chess.Board(fen).mirror(), san[:2] + str(9 - int(san[2]))
    assert "goes to help the pawn" in said(library, fen, san).text
    assert "goes to help the pawn" in said(library, other.fen(), mirrored).text


@pytest.mark.parametrize(
    ("fen", "san", "words"),
    [
        ("8/8/8/8/3N3k/8/1K6/2B5 w - - 0 1", "Kc3", "bishop and knight need their king"),
        ("4r3/K7/8/8/8/8/8/7k b - - 0 1", "Kg2", "the rook needs its king"),
    ],
)
def test_men_need_their_king_and_a_man_needs_its_own(library: Library, fen: str, san: str, words: str) -> None:
    assert words in said(library, fen, san).text


@pytest.mark.parametrize(
    ("fen", "san", "line"),
    [
        ("8/8/8/8/2q1k3/8/1K6/3R4 b - - 0 12", "Qb5+", "better is Qe2+;"),
        ("8/8/4q3/8/5R2/2k5/5K2/8 b - - 0 3", "Qh6", "better is Qg6;"),
        ("8/8/4Q3/8/8/8/2K5/5kb1 w - - 0 1", "Kd1", "better is Kd2; 2 moves lost. Kd3 is as good"),
    ],
)
def test_what_takes_nothing_is_not_said_to_take(library: Library, fen: str, san: str, line: str) -> None:
    text = said(library, fen, san).text
    assert line in text
    assert "takes" not in text


@pytest.mark.parametrize(
    ("fen", "san", "pushes", "steps"),
    [
        ("8/8/8/5k2/2K5/5p2/8/8 b - - 0 1", "Kf4", "f2", "Ke4"),
        ("8/4K3/8/8/3k4/6p1/8/8 b - - 0 1", "Kc3", "g2", "Kd5"),
        ("8/8/r7/6K1/2p5/8/3k4/8 b - - 0 1", "Ra8", "c3", "Ke3"),
    ],
)
def test_where_a_step_of_the_king_is_as_good_a_pawn_that_runs_is_told_as_time_lost(
    library: Library, fen: str, san: str, pushes: str, steps: str
) -> None:
    board, item = chess.Board(fen), said(library, fen, san)
    mates = {board.san(other.move): other.mate_plies for other in maker_for(library, board).ranking}
    assert mates[pushes] == mates[steps] == min(filter(None, mates.values()))
    assert f": better {pushes}, and the pawn runs on" in item.text


@pytest.mark.parametrize(
    ("fen", "san", "better", "takes"),
    [
        ("8/1k6/8/6n1/6K1/8/8/1b6 b - - 0 1", "Nf7", "Ne6", ["f4", "g5"]),
        ("8/K7/8/8/8/4Q3/1k6/8 w - - 0 3", "Qe6", "Ka6", []),
        ("8/8/1k6/2b5/8/8/8/1Kn5 b - - 0 1", "Ba3", "Nd3", []),
        ("8/8/8/8/5r2/8/2K4k/8 b - - 0 1", "Rf8", "Rf3", []),
    ],
)
def test_a_slip_is_told_with_what_it_does_or_misses_before_the_moves_it_costs(
    library: Library, fen: str, san: str, better: str, takes: list[str]
) -> None:
    """The squares taken are those where the king could step before and cannot after the better move."""
    board, text = chess.Board(fen), said(library, fen, san).text
    deed, _, cost = text.partition(";")
    assert re.match(r" \d+ moves? lost\.", cost)
    assert len(deed.removeprefix(san).split()) >= 3
    assert better in text
    assert not re.search(r" [;:,.]|, which (?!\w)", text)
    after = board.copy(stack=False)
    after.push_san(better)
    king = board.king(not board.turn)
    assert king is not None
    for square in takes:
        assert square in deed
        assert chess.square_distance(king, chess.parse_square(square)) == 1
        assert not board.is_attacked_by(board.turn, chess.parse_square(square))
        assert after.is_attacked_by(board.turn, chess.parse_square(square))


def test_a_rook_beside_its_king_is_not_attacked_by_a_king_that_comes_near(library: Library) -> None:
    fen = "8/7K/8/5r2/4k3/8/1B6/8 w - - 0 1"
    board = chess.Board(fen)
    assert board.is_attacked_by(chess.BLACK, chess.F5)
    text = said(library, fen, "Kg6").text
    assert "keeps the draw: " in text
    assert "attacks the rook" not in text


def test_what_is_prepared_is_not_told_once_more_of_the_move_that_does_it(library: Library) -> None:
    text = said(library, "8/2k5/8/2K5/5r2/8/8/8 b - - 0 3", "Ra4").text
    assert "prepares to shrink the box: if Kb5, Rd4." in text


@pytest.mark.parametrize(("choices", "others"), [(2, "the other move is"), (3, "every other move is")])
@pytest.mark.parametrize(("most", "least"), [(2, "2 moves sooner"), (5, "at least 2 moves sooner")])
def test_of_two_moves_there_is_one_other_and_of_several_the_nearest_is_counted(
    choices: int, others: str, most: int, least: str
) -> None:
    critical = cast("Critical", SimpleNamespace(longer_by=2, most=most))
    facts = cast("MoveFacts", SimpleNamespace(beside=SimpleNamespace(choices=choices)))
    assert lasting.any_other(critical, facts) == f"{others} mated {least}"


@pytest.mark.parametrize("far", [True, False])
def test_a_king_is_called_too_far_away_from_a_pawn_on_the_seventh_where_it_is(far: bool) -> None:
    assert (
        "too far away" in draws._why(PawnOnTheSeventh(chess.A7, bishops_pawn=False, corner=chess.A8, king_far=far))
    ) == far


@pytest.mark.parametrize(
    ("fen", "san", "corner"),
    [
        ("N7/4B3/8/8/1K6/8/2k5/8 b - - 0 1", "Kd3", "a1"),
        ("8/5N1k/1K6/8/8/4B3/8/8 b - - 0 1", "Kg6", "h8"),
    ],
)
def test_a_king_gets_away_from_a_corner_of_the_bishops_colour_where_it_was_near(
    library: Library, fen: str, san: str, corner: str
) -> None:
    board = chess.Board(fen)
    square, (bishop,) = chess.parse_square(corner), board.pieces(chess.BISHOP, not board.turn)
    assert chess.BB_LIGHT_SQUARES >> square & 1 == chess.BB_LIGHT_SQUARES >> bishop & 1
    was = board.king(board.turn)
    assert was is not None
    assert chess.square_distance(was, square) < chess.square_distance(board.parse_san(san).to_square, square)
    assert f"gets away from {corner}" in said(library, fen, san).text


def test_a_pawn_that_becomes_a_queen_at_once_has_no_way_before_it(library: Library) -> None:
    assert "it promotes by a8=Q+" in said(library, "8/P2N4/8/8/2k5/8/8/4K3 b - - 95 90", "Kd5").text
