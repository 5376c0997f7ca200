"""Stalemate: the side to move is not in check and has no legal move (FIDE Laws, article 5.2.1)."""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class Stalemated(Idea):
    """Where the king without a move stands."""

    kind: ClassVar[str] = "stalemated"

    king: chess.Square


def seen(board: chess.Board, attacker: chess.Color) -> Stalemated | None:
    """Return the king of the side to move where it is stalemated, whichever side that is."""
    return Stalemated(king(board, board.turn)) if board.is_stalemate() else None
