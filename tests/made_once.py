"""Legal moves of python-chess, made once for a position: tests, witnesses and the program ask for the same ones often.

They depend on what stands where, the side to move, the castling rights and the square of an en passant capture.
"""

from __future__ import annotations

from collections.abc import Iterator

import chess

#: Positions whose moves are kept.
_KEPT = 200_000
_MADE: dict[object, tuple[chess.Move, ...]] = {}
_generate = chess.Board.generate_legal_moves


def _legal_moves(
    board: chess.Board, from_mask: chess.Bitboard = chess.BB_ALL, to_mask: chess.Bitboard = chess.BB_ALL
) -> Iterator[chess.Move]:
    if from_mask != chess.BB_ALL or to_mask != chess.BB_ALL or type(board) is not chess.Board:
        return _generate(board, from_mask, to_mask)
    kinds = board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings
    key = *kinds, board.occupied_co[True], board.turn, board.castling_rights, board.ep_square, board.chess960
    made = _MADE.get(key)
    return _kept(board, key) if made is None else iter(made)


def _kept(board: chess.Board, key: object) -> Iterator[chess.Move]:
    """Make moves, no more than are asked for, and keep them when they are all made."""
    made = []
    for move in _generate(board):
        made.append(move)
        yield move
    if len(_MADE) >= _KEPT:
        _MADE.clear()
    _MADE[key] = tuple(made)


def make_moves_once() -> None:
    """Have every board of this process give the moves that another has made in the same position."""
    chess.Board.generate_legal_moves = _legal_moves  # type: ignore[method-assign, assignment]
