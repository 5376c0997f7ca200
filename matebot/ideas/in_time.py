"""A pawn promoted in time.

Definition. A move of the attacker, who is not in check, that makes a queen. Were the other side on move before it, one
of its moves would *stop* the pawn: after it, no check, the promotion is not legal, or what it makes can be taken; and
it takes the pawn, or could not be taken for nothing itself. Of several one that takes the pawn counts first, then the
first by its man, from the pawn up to the king, then by its name in long algebraic form.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import to_move
from matebot.ideas.squares import after_move, kind_of, taken_for_nothing
from matebot.records import dataclass


@dataclass(frozen=True)
class InTime(Idea):
    """A promotion that the other side could have stopped with its next move.

    Attributes
    ----------
    stop : the move that would have stopped the pawn
    """

    kind: ClassVar[str] = "in_time"
    stop: chess.Move


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> InTime | None:
    """Return what would have stopped the pawn that a move makes a queen, None where nothing."""
    if before.turn != attacker or move.promotion != chess.QUEEN or before.is_check():
        return None
    passed = to_move(before, not attacker)
    stops = [other for other in passed.generate_legal_moves() if _stops(after_move(passed, other), other, move)]
    first = min(
        stops,
        key=lambda other: (other.to_square != move.from_square, kind_of(before, other.from_square), other.uci()),
        default=None,
    )
    return None if first is None else InTime(first)


def _stops(board: chess.Board, other: chess.Move, promotion: chess.Move) -> bool:
    if other.to_square != promotion.from_square and taken_for_nothing(board, other.to_square):
        return False
    if not board.is_legal(promotion):
        return not board.is_check()  # After a check the pawn may go on with the next move but one.
    there = after_move(board, promotion)
    return any(there.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[promotion.to_square]))
