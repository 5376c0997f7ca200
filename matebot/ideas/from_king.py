"""Away from the attacking king.

Definition. A step of the defending king, one of several, after which the kings are more king's steps apart than after
any other of its legal steps, and no fewer than before.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import is_king_step, king_steps, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class FromKing(Idea):
    """The king keeps away from the other one.

    Attributes
    ----------
    before, after : king's steps between the kings
    """

    kind: ClassVar[str] = "from_king"
    before: int
    after: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> FromKing | None:
    """Return how a step of the defending king keeps away from the other, None where it does not."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    rival = men_of(after).king(attacker)
    was, now = king_steps(move.from_square, rival), king_steps(move.to_square, rival)
    others = [king_steps(m.to_square, rival) for m in before.generate_legal_moves(before.kings) if m != move]
    return FromKing(was, now) if others and was <= now > max(others) else None
