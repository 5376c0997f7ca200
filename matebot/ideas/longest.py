"""The defence that lasts longest, of those that last as long the one a player would think of."""

from __future__ import annotations

import chess

from matebot.ideas.squares import after_king_step, is_king_step, men_of, takeable
from matebot.ideas.truth import Truth


def all_longest(board: chess.Board, truth: Truth) -> list[chess.Move]:
    """Return the moves of the lost side, on move, that last longest, the most natural first.

    A step of the king that attacks a loose man comes first. A pawn becomes a queen before anything less, and a man that
    moves where it can be taken, itself taking nothing, comes after the others; then the names in long algebraic form
    count.
    """
    found = [(-(plies or 0), move) for move, (_, plies) in truth.after(board).items()]
    least = min((plies for plies, _ in found), default=0)
    return sorted((move for plies, move in found if plies == least), key=lambda move: _unnatural(board, move))


def longest(board: chess.Board, truth: Truth) -> chess.Move | None:
    """Return the first of them, None where there is no move."""
    return next(iter(all_longest(board, truth)), None)


def _unnatural(board: chess.Board, move: chess.Move) -> tuple[bool, bool, bool, str]:
    quiet = not (is_king_step(board, move) and takeable(after_king_step(men_of(board), move), not board.turn))
    lesser = move.promotion not in (None, chess.QUEEN)
    given = board.is_attacked_by(not board.turn, move.to_square) and not board.is_capture(move)
    return quiet, lesser, given, move.uci()
