"""A step inside the cage.

Definition. A step of the defending king with a cage (see `cage`) before and after it. It has *nothing to go for* when
after it the king stands next to no man of the attacker that nobody guards, and no legal reply would be stalemate; a
cage has no hole.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import is_king_step, men_of, takeable
from matebot.ideas.stalemate_trap import stalemating
from matebot.records import dataclass


@dataclass(frozen=True)
class StaysCaged(Idea):
    """The king cannot get out.

    Attributes
    ----------
    size : squares of the cage after the move
    nothing_to_go_for : no loose man next to the king, and no stalemate
    """

    kind: ClassVar[str] = "stays_caged"
    size: int
    nothing_to_go_for: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> StaysCaged | None:
    """Return the cage a move of the defender stays in, None without one."""
    if before.turn == attacker or not is_king_step(before, move) or not cage_mask(men_of(before), attacker):
        return None
    men = men_of(after)
    now = cage_mask(men, attacker)
    if not now:
        return None
    nothing = not takeable(men, attacker) and not any(stalemating(quick(after)))
    return StaysCaged(now.bit_count(), nothing)
