"""Holes.

Definition. A hole is a square of an open range (one that is no cage), not the defending king's own, such that the range
would be a cage if that square were shut as well and nothing else changed.

A move of the attacker *closes* the holes if there were some and it shuts a cage; *leaves* them if there is none shut
and there are some after that were holes before; *makes* those that were none before.
"""

from __future__ import annotations

from functools import lru_cache
from typing import ClassVar

import chess

from matebot.ideas.cage import LARGEST_CAGE, cage_mask, forcing_mask, is_cage
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import Men, flood, in_order, men_of, shut_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class Holes(Idea):
    """A move of the attacker that has to do with holes.

    Attributes
    ----------
    closed, left, made : holes closed by shutting a cage; holes before and after; holes after only
    """

    kind: ClassVar[str] = "holes"
    closed: Squares
    left: Squares
    made: Squares


def holes(board: chess.Board, attacker: chess.Color) -> chess.SquareSet:
    """Return the holes of the defending king's range; none where it is a cage."""
    return chess.SquareSet(holes_mask(men_of(board), attacker))


@lru_cache(maxsize=1024)
def holes_mask(men: Men, attacker: chess.Color) -> int:
    """Return the holes as bits."""
    corners = forcing_mask(men, attacker)
    if not corners or cage_mask(men, attacker):
        return 0
    king, ways = chess.BB_SQUARES[men.king(not attacker)], ~shut_mask(men, attacker)
    # More squares than a cage has, reached without a square outside them: only one of them can be a hole.
    candidates = flood(king, ways, LARGEST_CAGE) & ~king
    found = 0
    for square in chess.scan_forward(candidates):
        bit = chess.BB_SQUARES[square]
        if is_cage(flood(king, ways & ~bit, LARGEST_CAGE), corners):
            found |= bit
    return found


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Holes | None:
    """Return what a move of the attacker does about holes; None where there are none before and after."""
    if before.turn != attacker:
        return None
    old, new = men_of(before), men_of(after)
    was, now = holes_mask(old, attacker), holes_mask(new, attacker)
    closed = was if cage_mask(new, attacker) else 0
    if not closed and not now:
        return None
    return Holes(in_order(closed), in_order(was & now), in_order(now & ~was))
