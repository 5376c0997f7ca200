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
from matebot.ideas.squares import after_move, is_king_step, king_steps
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
    mine, theirs = (after.occupied_co[side] & ~after.kings for side in (attacker, not attacker))
    if (
        mine != after.pawns
        or theirs != after.bishops
        or not mine
        or not theirs
        or mine & mine - 1
        or theirs & theirs - 1
    ):
        return None
    pawn, bishop = mine.bit_length() - 1, theirs.bit_length() - 1
    way = chess.BB_FILES[pawn & 7] & (chess.BB_ALL << pawn + 1 if attacker else chess.BB_SQUARES[pawn] - 1)
    if after.attacks_mask(bishop) & way:
        return None
    king, other = after.king(attacker), after.king(not attacker)
    assert king is not None
    assert other is not None
    goals = [step.to_square for step in after.generate_legal_moves(theirs) if _guards(after, step, way)]
    new = any(king_steps(move.from_square, post) > 1 for post in goals)
    barred = all(king_steps(king, post) == 1 < king_steps(other, post) for post in goals)
    return BishopBarred(tuple(sorted(goals))) if new and barred else None


def _guards(after: chess.Board, step: chess.Move, way: int) -> bool:
    """Whether the bishop stands on the pawn's way after its move, or guards a square of it."""
    there = after_move(after, step)
    return bool((there.attacks_mask(step.to_square) | chess.BB_SQUARES[step.to_square]) & way)
