"""What zones count on the board, held against python-chess and against squares written out."""

from __future__ import annotations

from random import Random

import chess
import pytest

from matebot.method import squares


def beyond(line: int, of_man: int, of_king: int) -> bool:
    """Whether a line lies on the king's side of a man's; all do where the king stands on it."""
    return of_king == of_man or (line != of_man and (line > of_man) == (of_king > of_man))


def test_a_box_has_as_many_squares_as_lie_on_the_kings_side_of_both_lines() -> None:
    random = Random(1)
    for man, king in (random.sample(chess.SQUARES, 2) for _ in range(200)):
        ranks, files = (
            [line for line in range(8) if beyond(line, line_of(man), line_of(king))]
            for line_of in (chess.square_rank, chess.square_file)
        )
        assert squares.box_squares(man, king) == sum(
            chess.square_rank(square) in ranks and chess.square_file(square) in files for square in chess.SQUARES
        )
        assert squares.lines_left(man, king) == min(len(ranks), len(files))


def test_distances_are_those_of_the_library() -> None:
    for square in chess.SQUARES:
        for corner in (chess.A1, chess.H1, chess.A8, chess.H8):
            assert squares.corner_depth(square, corner) == chess.square_manhattan_distance(square, corner)
            assert squares.king_steps(square, corner) == chess.square_distance(square, corner)


@pytest.mark.parametrize(
    ("man", "king", "locked"),
    [
        *[("b5", "a1", True), ("e7", "c8", True), ("g1", "h5", True), ("d2", "h1", True)],
        *[("a5", "b1", False), ("e8", "c7", False), ("c5", "a2", False), ("e6", "c8", False), ("b2", "g8", False)],
    ],
)
def test_a_king_is_locked_on_the_edge_by_the_line_next_to_it(man: str, king: str, locked: bool) -> None:
    assert squares.locks_edge(chess.parse_square(man), chess.parse_square(king)) == locked


@pytest.mark.parametrize(
    ("pawn", "keys"),
    [
        *[("e2", "d4 e4 f4"), ("c4", "b6 c6 d6"), ("e5", "d6 e6 f6 d7 e7 f7"), ("d6", "c7 d7 e7 c8 d8 e8")],
        *[("f7", "e7 f7 g7 e8 f8 g8"), ("a3", "b7 b8"), ("h6", "g7 g8")],
    ],
)
def test_the_key_squares_of_a_pawn_are_those_of_common_practice(pawn: str, keys: str) -> None:
    found = squares.key_squares(chess.parse_square(pawn))
    assert {chess.square_name(square) for square in found} == set(keys.split())
    column, furthest = chess.square_file(chess.parse_square(pawn)), max(map(chess.square_rank, found))
    for king in chess.SQUARES:
        past = abs(chess.square_file(king) - column) <= 1 and chess.square_rank(king) > furthest
        assert squares.past_key_squares(chess.parse_square(pawn), king) == past


@pytest.mark.parametrize(
    ("pawn", "king", "outside"),
    [("a5", "e8", True), ("a5", "d8", False), ("a5", "d5", False), ("a5", "e5", True), ("h2", "b6", False)],
)
def test_a_king_is_outside_the_square_of_a_pawn_where_it_comes_too_late(pawn: str, king: str, outside: bool) -> None:
    assert squares.outside_square(chess.parse_square(pawn), chess.parse_square(king)) == outside
