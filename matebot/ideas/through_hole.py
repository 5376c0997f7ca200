"""Through a hole.

Definition. A step of the defending king to a hole (see `holes`) of the position before it (*reached*), from which it
can go on: a square next to it, not next to where the king was, is not shut and holds no man. Or else to a square next
to a hole it was not next to, that is a hole before and after the step.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.holes import holes_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import grown, in_order, is_king_step, men_of, shut_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class ThroughHole(Idea):
    """The king uses a hole.

    Attributes
    ----------
    hole : the hole
    reached : whether the king steps on it; otherwise it stands next to it now
    """

    kind: ClassVar[str] = "through_hole"
    hole: chess.Square
    reached: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> ThroughHole | None:
    """Return the hole a step of the defending king uses, the first by square among several; None without one."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    open_ways = holes_mask(men_of(before), attacker)
    if open_ways >> move.to_square & 1:
        men, known = men_of(after), grown(chess.BB_SQUARES[move.from_square])
        on = grown(chess.BB_SQUARES[move.to_square]) & ~known & ~shut_mask(men, attacker) & ~(men.white | men.black)
        return ThroughHole(move.to_square, True) if on else None
    now = open_ways & holes_mask(men_of(after), attacker)
    near = now & grown(chess.BB_SQUARES[move.to_square]) & ~grown(chess.BB_SQUARES[move.from_square])
    return ThroughHole(in_order(near)[0], False) if near else None
