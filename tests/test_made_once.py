"""The moves kept for a position are those that python-chess makes of it, for every board that has them in common."""

from __future__ import annotations

from random import Random

import chess

from tests.made_once import _generate


def test_the_moves_kept_of_a_position_are_those_made_anew() -> None:
    """Castling, captures en passant and promotions come in games by chance; each position is asked for twice."""
    for number in range(6):
        random, board = Random(f"game {number}"), chess.Board()
        while not board.is_game_over() and len(board.move_stack) < 120:
            made = list(_generate(board))
            assert list(board.legal_moves) == made == list(board.copy(stack=False).generate_legal_moves())
            board.push(random.choice(made))


def test_positions_that_differ_in_one_thing_have_moves_of_their_own() -> None:
    for one, other in (
        ("4k3/8/8/8/8/8/8/4K2R w K - 0 1", "4k3/8/8/8/8/8/8/4K2R w - - 0 1"),
        ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "4k3/8/8/3pP3/8/8/8/4K3 w - - 0 1"),
        ("4k3/8/8/8/8/8/8/4K2R w - - 0 1", "4k3/8/8/8/8/8/8/4K2R b - - 0 1"),
        ("4k3/8/8/8/8/8/8/4K2R w - - 0 1", "4k3/8/8/8/8/8/8/4K2r w - - 0 1"),
        ("4k3/8/8/8/8/8/8/4K2R w - - 0 1", "4k3/8/8/8/8/8/8/4K2Q w - - 0 1"),
    ):
        assert list(chess.Board(one).legal_moves) != list(chess.Board(other).legal_moves)
    castling = (
        chess.Board("4k3/8/8/8/8/8/8/4K2R w K - 0 1"),
        chess.Board("4k3/8/8/8/8/8/8/4K2R w K - 0 1", chess960=True),
    )
    assert [[move.uci() for move in board.legal_moves if board.is_castling(move)] for board in castling] == [
        ["e1g1"],
        ["e1h1"],
    ]


def test_moves_that_were_not_all_asked_for_are_not_kept_as_all() -> None:
    board = chess.Board("8/8/8/3k4/8/8/8/K2R3R w - - 0 1")
    assert any(board.legal_moves)
    assert board.legal_moves.count() == len(list(_generate(board))) > 1
