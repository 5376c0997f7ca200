"""The pawn runs.

Definition. A step of the attacker's pawn, no promotion, after which no man stands on its way, the defender has nothing
but his king, and that king, to move, is outside the square of the pawn: it has at least two steps more to the
promotion square than the pawn has moves.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import king_steps, men_of, pawn_way
from matebot.records import dataclass


@dataclass(frozen=True)
class PawnRuns(Idea):
    """The king cannot catch the pawn.

    Attributes
    ----------
    goal : the promotion square
    moves : the pawn's moves to it
    king_steps : the defending king's steps to it
    """

    kind: ClassVar[str] = "pawn_runs"
    goal: chess.Square
    moves: int
    king_steps: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> PawnRuns | None:
    """Return the race that a step of the attacker's pawn wins, None where there is none."""
    if before.turn != attacker or move.promotion or not before.pawns & chess.BB_SQUARES[move.from_square]:
        return None
    men = men_of(after)
    goal = chess.square(chess.square_file(move.to_square), 7 if attacker else 0)
    way = pawn_way(move.to_square, attacker)
    if way & (men.white | men.black) or men.of(not attacker) & ~men.kings:
        return None
    moves, steps = king_steps(move.to_square, goal), king_steps(men.king(not attacker), goal)
    return PawnRuns(goal, moves, steps) if steps > moves + 1 else None
