"""Inside the square: king and pawn against king, the defending king near enough to catch the pawn on its way.

Its steps to the promotion square are no more than the moves the pawn needs (a double step from its first rank is one
move), one more where the defender is to move; the pawn's own king does not stand in its way. What is drawn then is
drawn because the other king comes too late to lead the pawn.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import kinds, king, lone, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.ideas.squares import pawn_way
from matebot.records import dataclass

_DOUBLE_STEP_FROM = 6


@dataclass(frozen=True)
class InsideTheSquare(Idea):
    """The pawn, the moves it needs, and the defending king's steps to its promotion square."""

    kind: ClassVar[str] = "inside_the_square"

    pawn: chess.Square
    pawn_moves: int
    king_steps: int


def seen(board: chess.Board, attacker: chess.Color) -> InsideTheSquare | None:
    """Return how the defending king catches the attacker's only man, a pawn."""
    pawn = lone(board, attacker, chess.PAWN)
    if pawn is None or kinds(board, not attacker):
        return None
    goal = promotion_square(pawn, attacker)
    if board.occupied_co[attacker] & pawn_way(pawn, attacker):
        return None
    ranks = ranks_to_go(pawn, attacker)
    moves = ranks - 1 if ranks == _DOUBLE_STEP_FROM else ranks
    steps = chess.square_distance(king(board, not attacker), goal)
    return InsideTheSquare(pawn, moves, steps) if steps <= moves + (board.turn != attacker) else None
