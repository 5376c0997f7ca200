"""Minor piece against rook: nothing but king and knight, or king and bishop, against king and rook.

Drawn as a rule (handbooks, from memory): with king and minor piece near each other the rook attacks only one at a time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import kinds
from matebot.ideas.idea import Idea


@dataclass(frozen=True)
class MinorHoldsRook(Idea):
    """The kind of the minor piece that holds."""

    kind: ClassVar[str] = "minor_holds_rook"

    minor: chess.PieceType


def seen(board: chess.Board, attacker: chess.Color) -> MinorHoldsRook | None:
    """Return the minor piece that holds the draw against a lone rook."""
    theirs = kinds(board, not attacker)
    if kinds(board, attacker) != (chess.ROOK,) or theirs not in ((chess.KNIGHT,), (chess.BISHOP,)):
        return None
    return MinorHoldsRook(theirs[0])
