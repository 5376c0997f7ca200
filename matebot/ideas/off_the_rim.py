"""A man off the rim.

Definition. A move of the attacker's bishop or knight from the rim of the board to a square that is not on it, neither
capture nor check, with no cage before or after. All are gathered when no bishop or knight of his is on the rim after.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import from_edge, in_order, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class OffTheRim(Idea):
    """A bishop or knight brought off the rim.

    Attributes
    ----------
    man : its kind
    all_gathered : whether none is left there
    guards_before, guards_after : how many squares it guards where it stood and where it stands
    """

    kind: ClassVar[str] = "off_the_rim"
    man: chess.PieceType
    all_gathered: bool
    guards_before: int
    guards_after: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> OffTheRim | None:
    """Return the man a move of the attacker brings off the rim, None otherwise."""
    man = before.piece_type_at(move.from_square)
    if before.turn != attacker or man not in (chess.BISHOP, chess.KNIGHT):
        return None
    if from_edge(move.from_square) or not from_edge(move.to_square) or before.is_capture(move) or after.is_check():
        return None
    new = men_of(after)
    if cage_mask(men_of(before), attacker) or cage_mask(new, attacker):
        return None
    minors = (new.bishops | new.knights) & new.of(attacker)
    was, now = before.attacks_mask(move.from_square).bit_count(), after.attacks_mask(move.to_square).bit_count()
    return OffTheRim(man, all(from_edge(square) for square in in_order(minors)), was, now)
