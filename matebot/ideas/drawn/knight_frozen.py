"""Frozen knight: knight and rook's pawn one step from promotion, the defending king on the corner or beside it.

Whenever the king comes to set the knight free, it must leave the defending king no move: stalemate.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import is_rook_file, king, men, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class KnightFrozen(Idea):
    """The pawn, the knight, and the corner the defending king does not leave."""

    kind: ClassVar[str] = "knight_frozen"

    pawn: chess.Square
    knight: chess.Square
    corner: chess.Square


def seen(board: chess.Board, attacker: chess.Color) -> KnightFrozen | None:
    """Return pawn and knight where the one cannot be freed of guarding the other."""
    own = men(board, attacker)
    if tuple(kind for kind, _ in own) != (chess.PAWN, chess.KNIGHT) or men(board, not attacker):
        return None
    pawn, knight = own[0][1], own[1][1]
    corner = promotion_square(pawn, attacker)
    near = chess.square_distance(king(board, not attacker), corner) <= 1
    if not (is_rook_file(pawn) and ranks_to_go(pawn, attacker) == 1 and near):
        return None
    return KnightFrozen(pawn, knight, corner)
