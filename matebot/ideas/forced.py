"""Forced move.

Definition. The move is the only legal one.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class Forced(Idea):
    """There is no other move."""

    kind: ClassVar[str] = "forced"


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Forced | None:
    """Return whether a move is the only legal one, None where it is not."""
    moves = before.generate_legal_moves()
    next(moves, None)
    return Forced() if next(moves, None) is None else None
