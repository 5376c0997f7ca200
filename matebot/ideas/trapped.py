"""Trapped man.

Definition. After a move, a man of the other side, neither king nor pawn, that is not in the way of a check (the side to
reply is not in check), is attacked by a man of the side that moved, is not guarded by its own side, and each of whose
legal moves, captures included, leads to a square where a legal move captures it and no legal move captures in turn; a
man without legal moves as well.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.hanging import hanging
from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move
from matebot.records import dataclass


@dataclass(frozen=True)
class Trapped(Idea):
    """A man that cannot get away.

    Attributes
    ----------
    square, man : where it stands and its kind
    pinned : whether it is pinned against its king
    """

    kind: ClassVar[str] = "trapped"
    square: chess.Square
    man: chess.PieceType
    pinned: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Trapped | None:
    """Return the first man of the side to reply that is trapped after a move, a1 first; None without one."""
    side = after.turn
    pieces = after.occupied_co[side] & ~after.kings & ~after.pawns
    if not pieces or after.is_check():
        return None
    for square in chess.scan_forward(pieces):
        if after.is_attacked_by(not side, square) and not after.is_attacked_by(side, square) and _caught(after, square):
            return Trapped(square, after.piece_type_at(square) or chess.PAWN, after.is_pinned(side, square))
    return None


def _caught(board: chess.Board, square: chess.Square) -> bool:
    for way in board.generate_legal_moves(chess.BB_SQUARES[square]):
        gone = after_move(board, way)
        if way.to_square not in hanging(gone):
            return False
    return True
