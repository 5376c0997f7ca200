"""Mate.

Definition. The move gives checkmate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import from_edge, men_of


@dataclass(frozen=True)
class Mates(Idea):
    """Checkmate.

    Attributes
    ----------
    king : the square of the king that is mated
    man : kind of the man that moved; what it became, after a promotion
    in_corner, on_edge : whether that square is a corner, and whether it is on the edge
    """

    kind: ClassVar[str] = "mates"
    king: chess.Square
    man: chess.PieceType
    in_corner: bool
    on_edge: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Mates | None:
    """Return the mate a move gives, None without one."""
    if not after.is_check() or any(after.generate_legal_moves()):
        return None
    king = men_of(after).king(after.turn)
    man = after.piece_type_at(move.to_square) or chess.PAWN
    return Mates(king, man, bool(chess.BB_CORNERS >> king & 1), from_edge(king) == 0)
