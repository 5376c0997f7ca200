"""Wrong rook's pawn: bishop and rook's pawn, the promotion corner not of the bishop's colour, the king in the corner.

The defending king stands on the corner square or next to it: it cannot be driven out, for the bishop never guards
the corner, and shutting it in is stalemate.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import is_dark, is_rook_file, king, men, promotion_square
from matebot.ideas.idea import Idea
from matebot.records import dataclass

_NEAR_STEPS = 1


@dataclass(frozen=True)
class WrongRooksPawn(Idea):
    """The corner the bishop does not guard, and whether the king already stands there or next to it."""

    kind: ClassVar[str] = "wrong_rooks_pawn"

    corner: chess.Square
    arrived: bool


def seen(board: chess.Board, attacker: chess.Color) -> WrongRooksPawn | None:
    """Return the corner in which the defending king is safe; the king is there or at least as near as the other."""
    own = men(board, attacker)
    if tuple(kind for kind, _ in own) != (chess.PAWN, chess.BISHOP) or len(men(board, not attacker)):
        return None
    pawn, bishop = own[0][1], own[1][1]
    corner = promotion_square(pawn, attacker)
    if not is_rook_file(pawn) or is_dark(bishop) == is_dark(corner):
        return None
    steps = chess.square_distance(king(board, not attacker), corner)
    if steps > _NEAR_STEPS and steps > chess.square_distance(king(board, attacker), corner):
        return None
    return WrongRooksPawn(corner, steps <= _NEAR_STEPS)
