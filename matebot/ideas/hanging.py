"""Hanging man.

Definition. A man of the side that moved, not its king, that the other side may capture by a legal move after which no
legal move captures on that square in turn. Captures en passant are left out.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import after_move
from matebot.records import dataclass


@dataclass(frozen=True)
class Hanging(Idea):
    """Men that may be taken for nothing.

    Attributes
    ----------
    squares : where they stand
    men : their kinds, in the same order
    moved : whether the man that moved is one of them
    """

    kind: ClassVar[str] = "hanging"
    squares: Squares
    men: tuple[chess.PieceType, ...]
    moved: bool


def hanging(board: chess.Board) -> Squares:
    """Return the men of the side not to move that the side to move may capture for nothing."""
    found = set()
    for capture in board.generate_legal_moves(chess.BB_ALL, board.occupied_co[not board.turn]):
        if capture.to_square not in found:
            taken = after_move(board, capture)
            if not any(taken.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[capture.to_square])):
                found.add(capture.to_square)
    return tuple(sorted(found))


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Hanging | None:
    """Return the men that hang after a move, None without any."""
    squares = hanging(after)
    if not squares:
        return None
    return Hanging(squares, tuple(after.piece_type_at(s) or chess.PAWN for s in squares), move.to_square in squares)
