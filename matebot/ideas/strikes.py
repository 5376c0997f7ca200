"""A fork or a skewer of the defender.

Definition. A move of the defender that captures nothing and does not promote, and that *forks* or *skewers* men of the
attacker as in `refutation`.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.refutation import Means, means_of
from matebot.records import dataclass


@dataclass(frozen=True)
class Strikes(Idea):
    """Two men are hit at once.

    Attributes
    ----------
    means : fork or skewer
    men, squares : the men hit
    """

    kind: ClassVar[str] = "strikes"
    means: Means
    men: tuple[chess.PieceType, ...]
    squares: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Strikes | None:
    """Return the men that a move of the defender forks or skewers, None without."""
    if before.turn == attacker:
        return None
    means, men, squares = means_of(before, before, move, attacker)
    return Strikes(means, men, squares) if means in (Means.FORK, Means.SKEWER) else None
