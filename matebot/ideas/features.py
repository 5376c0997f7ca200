"""The features of a position as plain data: range, cage and holes."""

from __future__ import annotations

import chess

from matebot.ideas.cage import cage
from matebot.ideas.holes import holes
from matebot.ideas.idea import names
from matebot.ideas.king_range import king_range


def as_data(board: chess.Board, attacker: chess.Color) -> dict[str, list[str] | None]:
    """Return range, cage (None without one) and holes as sorted names of squares."""
    shut_in = cage(board, attacker)
    return {
        "king_range": names(king_range(board, attacker)),
        "cage": None if shut_in is None else names(shut_in),
        "holes": names(holes(board, attacker)),
    }
