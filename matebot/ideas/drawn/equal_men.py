"""Equal men: either side has one and the same kind of man."""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import kinds
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class EqualMen(Idea):
    """The kind of man either side has."""

    kind: ClassVar[str] = "equal_men"

    man: chess.PieceType


def seen(board: chess.Board, attacker: chess.Color) -> EqualMen | None:
    """Return the man of which either side has one; pawns, which may race, are left out."""
    own, theirs = kinds(board, attacker), kinds(board, not attacker)
    return EqualMen(own[0]) if own == theirs and len(own) == 1 and own[0] != chess.PAWN else None
