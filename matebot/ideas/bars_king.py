"""The attacking king barred.

Definition. A step of the defending king after which it guards squares next to the attacking king that it did not guard
before, and the kings stand in opposition (direct, distant or diagonal, see `squares.opposition`), the attacker to move.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import in_order, is_king_step, men_of, opposition
from matebot.records import dataclass


@dataclass(frozen=True)
class BarsKing(Idea):
    """The defending king stands in the other one's way.

    Attributes
    ----------
    squares : squares next to the attacking king that it has come to guard
    opposition : the kind of opposition
    """

    kind: ClassVar[str] = "bars_king"
    squares: Squares
    opposition: str


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> BarsKing | None:
    """Return the squares a step of the defending king takes from the other king, None without opposition."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    men = men_of(after)
    near = chess.BB_KING_ATTACKS[men.king(attacker)]
    barred = near & chess.BB_KING_ATTACKS[move.to_square] & ~chess.BB_KING_ATTACKS[move.from_square]
    kind = opposition(men)
    return BarsKing(in_order(barred), kind) if barred and kind else None
