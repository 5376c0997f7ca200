"""A bishop kept off the squares from which it would stop a pawn.

Definition. The attacker has a pawn only, the defender a bishop only, which guards no square before the pawn. A step of
the attacker's king that takes nothing. *Posts* are the squares to which the bishop may go with its next move and from
which it would guard a square before the pawn, or stand on one. The idea is seen where there are posts, the king guards
all of them and the other king none, and one of them at least it did not guard before.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import after_move, is_king_step, king_steps, men_of
from matebot.ideas.their_man import promotion_of, their_man, their_pawn
from matebot.records import dataclass


@dataclass(frozen=True)
class BishopBarred(Idea):
    """A step of the king that keeps the bishop from stopping the pawn.

    Attributes
    ----------
    posts : the squares that the bishop may go to and be taken on
    """

    kind: ClassVar[str] = "bishop_barred"
    posts: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> BishopBarred | None:
    """Return the squares that a step of the king takes from the bishop, None where it stops the pawn all the same."""
    if before.turn != attacker or not is_king_step(before, move) or before.is_capture(move):
        return None
    men = men_of(after)
    pawn, bishop = their_pawn(men, not attacker), their_man(men, attacker)
    if pawn is None or bishop is None or not men.bishops & chess.BB_SQUARES[bishop]:
        return None
    goal = promotion_of(pawn, not attacker)
    way = chess.between(pawn, goal) | chess.BB_SQUARES[goal]
    if after.attacks_mask(bishop) & way:
        return None
    king, other = men.king(attacker), men.king(not attacker)
    steps = after.generate_legal_moves(chess.BB_SQUARES[bishop])
    goals = [step.to_square for step in steps if _guards(after, step, way)]
    new = any(king_steps(move.from_square, post) > 1 for post in goals)
    barred = all(king_steps(king, post) == 1 < king_steps(other, post) for post in goals)
    return BishopBarred(tuple(sorted(goals))) if new and barred else None


def _guards(after: chess.Board, step: chess.Move, way: int) -> bool:
    """Whether the bishop stands on the pawn's way after its move, or guards a square of it."""
    there = after_move(after, step)
    return bool((there.attacks_mask(step.to_square) | chess.BB_SQUARES[step.to_square]) & way)
