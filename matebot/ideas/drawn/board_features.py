"""What the reasons look at: men by side, steps of kings, the promotion square."""

from __future__ import annotations

import chess


def king(board: chess.Board, colour: chess.Color) -> chess.Square:
    """Return the square of a king."""
    square = board.king(colour)
    assert square is not None
    return square


def men(board: chess.Board, colour: chess.Color) -> tuple[tuple[chess.PieceType, chess.Square], ...]:
    """Return a side's men beside the king, by kind from the pawn up, then by square."""
    found = [(piece.piece_type, square) for square, piece in board.piece_map().items() if piece.color == colour]
    return tuple(sorted(item for item in found if item[0] != chess.KING))


def kinds(board: chess.Board, colour: chess.Color) -> tuple[chess.PieceType, ...]:
    """Return the kinds of a side's men beside the king, from the pawn up."""
    return tuple(kind for kind, _ in men(board, colour))


def lone(board: chess.Board, colour: chess.Color, kind: chess.PieceType) -> chess.Square | None:
    """Return the square of a side's only man beside the king when it is of one kind."""
    own = men(board, colour)
    return own[0][1] if len(own) == 1 and own[0][0] == kind else None


def promotion_square(pawn: chess.Square, colour: chess.Color) -> chess.Square:
    """Return the square on which a pawn promotes."""
    return chess.square(chess.square_file(pawn), 7 if colour == chess.WHITE else 0)


def ranks_to_go(pawn: chess.Square, colour: chess.Color) -> int:
    """Return the ranks between a pawn and its promotion square; a double step is not counted."""
    return abs(chess.square_rank(promotion_square(pawn, colour)) - chess.square_rank(pawn))


def is_dark(square: chess.Square) -> bool:
    """Whether a square is dark, like a1."""
    return bool(chess.BB_SQUARES[square] & chess.BB_DARK_SQUARES)


def is_rook_file(square: chess.Square) -> bool:
    """Whether a square lies on the a-file or the h-file."""
    return chess.square_file(square) in (0, 7)
