"""Mate at once avoided.

Definition. A move of the defender, lost, after which no move mates at once, while after another legal move one does:
of such moves, and of the mates after it, the first by its name in long algebraic form.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, gives_check
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class EscapesMate(Idea):
    """Another move would be mated at once.

    Attributes
    ----------
    other, mate : the other move, and the mate after it
    """

    kind: ClassVar[str] = "escapes_mate"
    other: chess.Move
    mate: chess.Move


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> EscapesMate | None:
    """Return the mate that a move of the defender avoids, None where there is none or it does not."""
    if before.turn == attacker or truth.outcome(after) <= 0 or truth.mate_plies(after) == 1:
        return None
    mated = [other for other, worth in truth.after(before).items() if worth == (1, 1) and other != move]
    if not mated:
        return None
    other = min(mated, key=lambda m: m.uci())
    board = after_move(before, other)
    return EscapesMate(other, _mate(board))


def _mate(board: chess.Board) -> chess.Move:
    for move in sorted(board.generate_legal_moves(), key=lambda m: m.uci()):
        if gives_check(board, move):
            after = after_move(board, move)
            if not any(after.generate_legal_moves()):
                return move
    raise AssertionError(board.fen())
