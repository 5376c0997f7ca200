"""Safe corner: rook against bishop, the defending king in or next to a corner that is not of the bishop's colour.

Only with the other king at most two steps away it is the corner that holds. There the bishop can step between on a
check along the edge, and the rook's last move would be stalemate (common practice, no source).
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import is_dark, king, lone
from matebot.ideas.idea import Idea
from matebot.records import dataclass

#: From so far a king helps to mate.
_NEAR = 2
_CORNERS = (chess.A1, chess.H1, chess.A8, chess.H8)


@dataclass(frozen=True)
class SafeCorner(Idea):
    """The corner."""

    kind: ClassVar[str] = "safe_corner"

    corner: chess.Square


def seen(board: chess.Board, attacker: chess.Color) -> SafeCorner | None:
    """Return the corner in which a king with its bishop is safe from a lone rook."""
    bishop = lone(board, not attacker, chess.BISHOP)
    if bishop is None or lone(board, attacker, chess.ROOK) is None:
        return None
    home = king(board, not attacker)
    if chess.square_distance(home, king(board, attacker)) > _NEAR:
        return None
    for corner in _CORNERS:
        if chess.square_distance(home, corner) <= 1 and is_dark(corner) != is_dark(bishop):
            return SafeCorner(corner)
    return None
