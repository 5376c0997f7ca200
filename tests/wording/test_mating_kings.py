"""That the king must come within two steps to mate with queen, rook or two minor pieces: every placement is tried."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import chess
import pytest

from tests.witness.positions import TRIANGLE

_FAR = 2


def mates_from_afar(men: tuple[chess.PieceType, ...]) -> Iterator[str]:
    """Yield mates of a bare king by men whose king is more than two steps off; up to the board's symmetry."""
    for bare, king in product(TRIANGLE, chess.SQUARES):
        if chess.square_distance(bare, king) <= _FAR:
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
def test_a_lone_piece_mates_with_its_king_within_two_steps(man: chess.PieceType) -> None:
    assert not list(mates_from_afar((man,)))


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("other", [chess.BISHOP, chess.KNIGHT], ids=chess.piece_name)
def test_two_minor_pieces_mate_with_their_king_within_two_steps(other: chess.PieceType) -> None:
    assert not list(mates_from_afar((chess.BISHOP, other)))
