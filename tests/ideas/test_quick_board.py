"""Moves made by bits are those of python-chess, in its order."""

from __future__ import annotations

from random import Random

import chess
import pytest

from matebot.ideas.quick_board import QuickBoard, quick
from matebot.ideas.squares import after_move, taken_for_nothing
from matebot.solver.material import COVERED
from tests.witness.positions import random_positions

ENDINGS = (*(material.name for material in COVERED), "KRPKP", "KBNKQ", "KQRKR", "KPPKP")


def test_moves_captures_and_moves_among_some_squares_are_the_librarys() -> None:
    in_check = pinned = 0
    for ending in ENDINGS:
        random = Random(ending)
        for board in random_positions(ending, 40, 7):
            same, masks = quick(board), (random.getrandbits(64), random.getrandbits(64))
            assert list(same.generate_legal_moves()) == list(board.generate_legal_moves()), board.fen()
            assert list(same.generate_legal_captures()) == list(board.generate_legal_captures()), board.fen()
            assert list(same.generate_legal_moves(*masks)) == list(board.generate_legal_moves(*masks)), board.fen()
            for goal in (chess.BB_SQUARES[random.choice(range(64))], chess.BB_KING_ATTACKS[random.choice(range(64))]):
                assert list(same.generate_legal_moves(to_mask=goal)) == list(board.generate_legal_moves(to_mask=goal))
            in_check += board.is_check()
            pinned += any(board.is_pinned(board.turn, square) for square in chess.scan_forward(board.occupied))
    assert in_check > 100
    assert pinned > 10


@pytest.mark.parametrize(
    "fen",
    [
        "8/8/8/2k5/3Pp3/8/8/4K3 b - d3 0 1",  # the pawn that gives check is taken en passant
        "8/8/8/k7/3Pp3/8/8/4K3 b - d3 0 1",  # taken en passant while no king is in danger
        "8/8/8/8/k2Pp2Q/8/8/4K3 b - d3 0 1",  # taken en passant it would leave the king in check
        "r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1",
        "4k3/8/8/8/1b6/5n2/8/4K2R w K - 0 1",  # two give check
        "3r3k/8/8/8/8/3B4/8/3K4 w - - 0 1",
        "8/8/8/8/8/8/1p6/K1k5 b - - 0 1",
    ],
)
def test_what_is_left_to_the_library_is_made_too(fen: str) -> None:
    assert list(QuickBoard(fen).legal_moves) == list(chess.Board(fen).legal_moves)


def test_the_board_after_a_move_is_a_quick_one_and_stands_as_the_library_has_it() -> None:
    for ending in ("KBNK", "KPKP", "KQPK"):
        for board in random_positions(ending, 40, 8):
            for move in board.legal_moves:
                there, after = board.copy(stack=False), after_move(board, move)
                there.push(move)
                assert type(after) is QuickBoard
                assert after.fen() == there.fen()


def test_a_man_is_taken_for_nothing_where_no_move_takes_back() -> None:
    """Moves are those of python-chess; en passant and pawns that step to an empty square count as moves to it."""
    found = 0
    for ending in ("KQKR", "KPKP", "KBPK", "KRPKP", "KBNKQ"):
        for board in random_positions(ending, 12, 9):
            for square in chess.SQUARES:
                expected = False
                for move in board.legal_moves:
                    if move.to_square == square:
                        there = board.copy(stack=False)
                        there.push(move)
                        expected |= not any(back.to_square == square for back in there.legal_moves)
                assert taken_for_nothing(board, square) == expected, (board.fen(), square)
                found += expected
    assert found > 100
