"""How many moves a position has, against python-chess's moves."""

from __future__ import annotations

from random import Random

import chess
import pytest

from matebot.solver.lookup import CanonicalPosition
from matebot.solver.mobility import count_moves, king_can_move
from matebot.solver.tables import Tables

ENDINGS = ("KQRKB", "KPPKP", "KBNKQ", "KRPKR", "KNPKN", "KQBKB", "KPKP", "KQK")


def positions(ending: str, count: int) -> list[chess.Board]:
    """Return random legal positions, men close together; those after a double step may be taken en passant."""
    random, found = Random(ending), list[chess.Board]()
    cut = ending.rindex("K")
    while len(found) < count:
        board = chess.Board(None)
        corner = random.choice((0, 3, 8, 11, 16, 19, 24, 27, 32, 35))
        near = [corner + 8 * rank + file for rank in range(4) for file in range(5)]
        for index, (man, square) in enumerate(zip(ending, random.sample(near, len(ending)), strict=True)):
            board.set_piece_at(square, chess.Piece.from_symbol(man if index < cut else man.lower()))
        board.turn = random.random() < 0.5
        if not board.is_valid():
            continue
        doubles = [move for move in board.legal_moves if abs(move.from_square - move.to_square) == 16]
        for move in doubles if "P" in ending else ():
            after = board.copy(stack=False)
            after.push(move)
            if after.has_legal_en_passant() or after.has_pseudo_legal_en_passant():
                board = after
                break
        found.append(board)
    return found


def stand_after(board: chess.Board) -> CanonicalPosition:
    """Return a position as it is among the moves from the one before: a pawn may be passed that none may take."""
    stand, swapped = Tables().stand_of(board)
    return stand._replace(passed=None if board.ep_square is None else board.ep_square ^ 56 * swapped)


@pytest.mark.parametrize("ending", ENDINGS)
def test_moves_are_as_many_as_python_chess_finds_and_so_are_those_of_the_king(ending: str) -> None:
    taken = 0
    for board in positions(ending, 150):
        stand = stand_after(board)
        moves = list(board.legal_moves)
        king = board.king(board.turn)
        assert count_moves(stand) == len(moves), board.fen()
        assert king_can_move(stand) == any(move.from_square == king for move in moves), board.fen()
        taken += board.has_legal_en_passant()
    assert taken or ending != "KPPKP"


@pytest.mark.parametrize(
    "fen",
    [
        "8/8/8/8/k2pP2R/8/8/4K3 b - e3 0 1",  # en passant would lay the king bare to the rook
        "8/8/8/2k5/3pP3/8/8/4K2R b - e3 0 1",
        "8/8/8/8/3pP3/2k4B/8/4K3 b - e3 0 1",
        "7B/8/8/8/3pP3/2k5/8/4K3 b - e3 0 1",  # the pawn that takes is pinned on a diagonal
        "8/8/8/3k4/3pP3/8/8/3RK3 b - e3 0 1",  # the pawn that gives check may be taken
        "8/8/8/3Pp3/5K2/8/1P6/k7 w - e6 0 1",  # the same by White
        "8/8/8/4k3/3pP3/8/8/K3R3 b - e3 0 1",  # the pawn that takes comes in between
        "8/8/8/2k2K1R/3pP3/8/8/8 b - e3 0 1",  # the other king stands in between
        "8/1P6/8/8/8/8/8/k1K5 w - - 0 1",
        "2r1k3/1P6/8/8/8/8/8/2K5 w - - 0 1",  # in check: to promote with capture is the only way for the pawn
    ],
)
def test_moves_en_passant_and_promotions_are_counted_as_python_chess_counts_them(fen: str) -> None:
    board = chess.Board(fen)
    assert count_moves(stand_after(board)) == board.legal_moves.count()
