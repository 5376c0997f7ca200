"""The pawn runs: rook against pawn, the attacking king too far off; the pawn's king leads it, next to it or to its way.

Too far: the attacking king needs more steps to a square next to the promotion square than the pawn has ranks to go,
so the rook must be given for the pawn, where the other king leads it or comes to lead it.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, lone, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class PawnSupported(Idea):
    """The pawn, its ranks to promotion, the attacking king's steps there, and whether the other king leads it."""

    kind: ClassVar[str] = "pawn_supported"

    pawn: chess.Square
    ranks_to_go: int
    king_steps: int
    led: bool


def seen(board: chess.Board, attacker: chess.Color) -> PawnSupported | None:
    """Return the pawn for which a lone rook must be given."""
    pawn = lone(board, not attacker, chess.PAWN)
    if pawn is None or lone(board, attacker, chess.ROOK) is None:
        return None
    goal = promotion_square(pawn, not attacker)
    to_go = ranks_to_go(pawn, not attacker)
    way = range(min(pawn, goal), max(pawn, goal) + 1, 8)
    beside = min(chess.square_distance(king(board, not attacker), square) for square in way)
    steps = chess.square_distance(king(board, attacker), goal)
    return PawnSupported(pawn, to_go, steps, beside <= 1) if steps > to_go else None
