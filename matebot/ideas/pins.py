"""A guarded man pinned.

Definition. After a move of the attacker that gives no check, a man of the defender, neither king nor pawn, that its own
side guards stands between its king and the man that moved, a bishop, rook or queen, on one line with nothing else
between; it was not pinned before, and it has no legal move, nor does any legal move take the man that moved.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class Pins(Idea):
    """A man that its own king holds fast.

    Attributes
    ----------
    square, man : where it stands and its kind
    """

    kind: ClassVar[str] = "pins"
    square: chess.Square
    man: chess.PieceType


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Pins | None:
    """Return the man that a move of the attacker pins, None where none."""
    side, came = not attacker, chess.BB_SQUARES[move.to_square]
    if before.turn != attacker or not came & (after.bishops | after.rooks | after.queens) or after.is_check():
        return None
    king = after.king(side)
    theirs = after.occupied_co[side] & ~after.kings & ~after.pawns & after.attacks_mask(move.to_square)
    if king is None or not theirs or any(after.generate_legal_moves(chess.BB_ALL, came)):
        return None
    for square in chess.scan_forward(theirs & chess.between(king, move.to_square)):
        held = after.is_pinned(side, square) and not before.is_pinned(side, square)
        stays = held and not any(after.generate_legal_moves(chess.BB_SQUARES[square]))
        if stays and after.is_attacked_by(side, square):
            return Pins(square, after.piece_type_at(square) or chess.PAWN)
    return None
