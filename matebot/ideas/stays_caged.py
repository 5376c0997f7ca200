"""A step inside the cage.

Definition. A step of the defending king with a cage (see `cage`) before and after it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import is_king_step, men_of


@dataclass(frozen=True)
class StaysCaged(Idea):
    """The king cannot get out.

    Attributes
    ----------
    size : squares of the cage after the move
    """

    kind: ClassVar[str] = "stays_caged"
    size: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> StaysCaged | None:
    """Return the cage a move of the defender stays in, None without one."""
    if before.turn == attacker or not is_king_step(before, move) or not cage_mask(men_of(before), attacker):
        return None
    now = cage_mask(men_of(after), attacker)
    return StaysCaged(now.bit_count()) if now else None
