"""Knight beside its king: rook against knight, king and knight on squares that touch."""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, lone
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class KnightBesideKing(Idea):
    """The knight's square."""

    kind: ClassVar[str] = "knight_beside_king"

    knight: chess.Square


def seen(board: chess.Board, attacker: chess.Color) -> KnightBesideKing | None:
    """Return the knight where it stands next to its king against a lone rook."""
    knight = lone(board, not attacker, chess.KNIGHT)
    if knight is None or lone(board, attacker, chess.ROOK) is None:
        return None
    return KnightBesideKing(knight) if chess.square_distance(knight, king(board, not attacker)) == 1 else None
