"""A man tied down by the king.

Definition. A step of the defending king after which squares of the wall next to it are guarded by one man of the
attacker alone, and not by his king (see `guards`): of several such men the one that holds most of them, then knights
before bishops, then the first by square.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.guards import tied_masks
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import in_order, is_king_step, kind_of, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class TiesMan(Idea):
    """A man must go on guarding.

    Attributes
    ----------
    man, square : its kind and square
    holds : the squares next to the king that it alone guards
    """

    kind: ClassVar[str] = "ties_man"
    man: chess.PieceType
    square: chess.Square
    holds: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> TiesMan | None:
    """Return the man that a step of the defending king ties down, None without one."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    men, near = men_of(after), chess.BB_KING_ATTACKS[move.to_square]
    held = {man: alone & near for man, alone in tied_masks(men, attacker) if not men.kings >> man & 1}
    man = max(held, key=lambda square: (held[square].bit_count(), -kind_of(after, square), -square), default=None)
    return TiesMan(kind_of(after, man), man, in_order(held[man])) if man is not None and held[man] else None
