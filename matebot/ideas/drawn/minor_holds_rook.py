"""Minor piece against rook: nothing but king and knight, or king and bishop, against king and rook.

Drawn as a rule (handbooks, from memory): with king and minor piece near each other the rook attacks only one at a time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, men
from matebot.ideas.idea import Idea
from matebot.ideas.squares import from_edge


@dataclass(frozen=True)
class MinorHoldsRook(Idea):
    """The minor piece that holds: its kind and square, its king's steps to it, and that king's steps from the edge."""

    kind: ClassVar[str] = "minor_holds_rook"

    minor: chess.PieceType
    square: chess.Square
    king_steps: int
    from_edge: int


def seen(board: chess.Board, attacker: chess.Color) -> MinorHoldsRook | None:
    """Return the minor piece that holds the draw against a lone rook."""
    mine, theirs = men(board, attacker), men(board, not attacker)
    if len(mine) != 1 or mine[0][0] != chess.ROOK or len(theirs) != 1:
        return None
    minor, square = theirs[0]
    if minor not in (chess.KNIGHT, chess.BISHOP):
        return None
    own = king(board, not attacker)
    return MinorHoldsRook(minor, square, chess.square_distance(own, square), from_edge(own))
