"""Both aims at once: pawn against pawn, a king outside the square of the other pawn that holds the draw all the same.

By one and the same step it comes nearer to the other pawn's promotion square and to its own pawn's.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, lone, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class BothAims(Idea):
    """The side whose king serves both aims, and the squares to which it steps nearer to both at once."""

    kind: ClassVar[str] = "both_aims"

    side: chess.Color
    steps: tuple[chess.Square, ...]


def seen(board: chess.Board, attacker: chess.Color) -> BothAims | None:
    """Return the king, outside the square and to move, that has a step serving both aims; `attacker` owns the pawn."""
    side = not attacker
    own, theirs = lone(board, side, chess.PAWN), lone(board, attacker, chess.PAWN)
    if own is None or theirs is None or board.turn != side:
        return None
    home = king(board, side)
    catch, support = promotion_square(theirs, attacker), promotion_square(own, side)
    if chess.square_distance(home, catch) <= ranks_to_go(theirs, attacker):
        return None
    here = chess.square_distance(home, catch), chess.square_distance(home, support)
    steps = sorted(
        move.to_square
        for move in board.legal_moves
        if move.from_square == home
        and chess.square_distance(move.to_square, catch) < here[0]
        and chess.square_distance(move.to_square, support) < here[1]
    )
    return BothAims(side, tuple(steps)) if steps else None
