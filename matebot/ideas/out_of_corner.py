"""Chasing out of the corner.

Definition. A check by the attacker, not mate, while the defending king stands on a corner in which mate can be forced
(see `cage`) or next to it, after which every legal reply is a step of that king to a square farther from that corner.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.cage import forcing_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import in_order, king_steps, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class OutOfCorner(Idea):
    """A check that drives the king out of the corner where it should be mated.

    Attributes
    ----------
    corner : the corner
    """

    kind: ClassVar[str] = "out_of_corner"
    corner: chess.Square


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> OutOfCorner | None:
    """Return the corner a check drives the king out of, None otherwise."""
    if before.turn != attacker or not after.is_check():
        return None
    men = men_of(before)
    king = men.king(not attacker)
    for corner in in_order(forcing_mask(men, attacker)):
        here = king_steps(king, corner)
        if here <= 1:
            replies = list(after.generate_legal_moves())
            runs = [r for r in replies if r.from_square == king and king_steps(r.to_square, corner) > here]
            if replies and len(runs) == len(replies):
                return OutOfCorner(corner)
    return None
