"""That queen, rook or two minor pieces mate on the edge only, their king within two steps of the other.

Every placement is tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import chess
import pytest

from tests.witness.positions import TRIANGLE

_FAR = 2


def odd_mates(men: tuple[chess.PieceType, ...]) -> Iterator[str]:
    """Yield mates of a bare king off the edge, or by men whose king is more than two steps off; up to symmetry."""
    for bare, king in product(TRIANGLE, chess.SQUARES):
        on_edge = not 0 < bare // 8 < 7 or not 0 < bare % 8 < 7
        if chess.square_distance(bare, king) <= (_FAR if on_edge else 1):
            continue
        board = chess.Board(None)
        board.turn = chess.BLACK
        board.set_piece_at(bare, chess.Piece(chess.KING, chess.BLACK))
        board.set_piece_at(king, chess.Piece(chess.KING, chess.WHITE))
        for squares in product(chess.SQUARES, repeat=len(men)):
            if len({bare, king, *squares}) < 2 + len(men):
                continue
            for man, square in zip(men, squares, strict=True):
                board.set_piece_at(square, chess.Piece(man, chess.WHITE))
            if board.is_check() and not any(board.generate_legal_moves()):
                yield board.fen()
            for square in squares:
                board.remove_piece_at(square)


@pytest.mark.parametrize("man", [chess.QUEEN, chess.ROOK], ids=chess.piece_name)
def test_a_lone_piece_mates_on_the_edge_with_its_king_within_two_steps(man: chess.PieceType) -> None:
    assert not list(odd_mates((man,)))


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("other", [chess.BISHOP, chess.KNIGHT], ids=chess.piece_name)
def test_two_minor_pieces_mate_on_the_edge_with_their_king_within_two_steps(other: chess.PieceType) -> None:
    assert not list(odd_mates((chess.BISHOP, other)))
