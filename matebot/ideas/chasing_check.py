"""Chasing check.

Definition. A check by the attacker, not mate, after which the range of the king is larger than before.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import in_order, men_of, range_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class ChasingCheck(Idea):
    """A check that only lets the king out.

    Attributes
    ----------
    size_before, size_after : squares of the range
    way_out : squares outside the range before that the king can go to at once
    """

    kind: ClassVar[str] = "chasing_check"
    size_before: int
    size_after: int
    way_out: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> ChasingCheck | None:
    """Return the chasing check a move gives, None otherwise."""
    if before.turn != attacker or not after.is_check():
        return None
    old, new = range_mask(men_of(before), attacker), range_mask(men_of(after), attacker)
    if new.bit_count() <= old.bit_count() or not any(after.generate_legal_moves()):
        return None
    steps = after.generate_legal_moves(after.kings)
    out = sum(chess.BB_SQUARES[step.to_square] for step in steps) & ~old
    return ChasingCheck(old.bit_count(), new.bit_count(), in_order(out))
