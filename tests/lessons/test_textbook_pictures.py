"""From where a king is near enough to win against a pawn on the seventh, as the pictures show it."""

from __future__ import annotations

import chess
import pytest

from matebot.lessons.model_game import ByLadder
from matebot.lessons.textbook_pictures import near_enough
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.solver.tables import Tables

#: Handbooks, from memory: with a rook's pawn the king must stand within four steps of the corner, the square e5 apart.
ROOKS = "a5 b5 c5 d5 a4 b4 c4 d4 e4 d3 e3 d2 e2 d1 e1"
BISHOPS = "a4 b4 c4 d3 e3 d2 e2 e1"


@pytest.mark.parametrize(("number", "squares"), [(0, ROOKS), (1, BISHOPS)])
def test_a_king_is_near_enough_where_handbooks_say_wherever_the_queen_stands(
    tables: Tables, number: int, squares: str
) -> None:
    library = ByLadder(Library(tables), PLANS["KQKP"][0])
    board = chess.Board(library.plan.near_enough[number][1])
    zone = sorted(map(chess.parse_square, squares.split()))
    assert near_enough(library, board) == zone
    (queen,) = board.pieces(chess.QUEEN, chess.WHITE)
    for square in (chess.E8, chess.G6, chess.H5):
        moved = board.copy()
        moved.remove_piece_at(queen)
        moved.set_piece_at(square, chess.Piece(chess.QUEEN, chess.WHITE))
        assert set(near_enough(library, moved)) >= set(zone)
