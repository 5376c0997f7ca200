"""What several facts read off a board: kings, the squares they can go to, men; no values."""

from __future__ import annotations

from collections.abc import Iterable

import chess


def names(squares: Iterable[chess.Square]) -> tuple[str, ...]:
    """Return squares by their names, a1 first."""
    return tuple(chess.square_name(square) for square in sorted(squares))


def king_square(board: chess.Board, colour: chess.Color) -> chess.Square:
    """Return the square of a king."""
    square = board.king(colour)
    assert square is not None
    return square


def men(board: chess.Board, kind: chess.PieceType, colour: chess.Color) -> list[chess.Square]:
    """Return the squares of a side's men of one kind."""
    return sorted(board.pieces(kind, colour))


def flights(board: chess.Board, colour: chess.Color) -> frozenset[chess.Square]:
    """Return the squares a king could go to if it were its side's turn."""
    king = king_square(board, colour)
    occupied = board.occupied & ~chess.BB_SQUARES[king]
    free = chess.SquareSet(chess.BB_KING_ATTACKS[king] & ~board.occupied_co[colour])
    return frozenset(square for square in free if not _attacked(board, not colour, square, occupied))


def _attacked(board: chess.Board, by: chess.Color, square: chess.Square, occupied: int) -> bool:
    return bool(board.attackers_mask(by, square, occupied))


def lone_pawn(board: chess.Board, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the attacker's pawn when it is his only man."""
    own = board.occupied_co[attacker] & ~board.kings
    return own.bit_length() - 1 if own.bit_count() == 1 and own & board.pawns else None
