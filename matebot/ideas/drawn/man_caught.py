"""A man is caught: the defender, who has his king only, steps to where a man falls whatever the attacker does.

The defender is to move. After a step of his king that takes nothing each move of the attacker loses a man, so that what
is left is drawn, or is stalemate (see `man_falls`). Of several such steps the one to the lowest square is told.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

import chess

from matebot.ideas.drawn import man_falls
from matebot.ideas.drawn.board_features import king, men
from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move
from matebot.records import dataclass


@dataclass(frozen=True)
class ManCaught(Idea):
    """How a man is caught.

    Attributes
    ----------
    man : kind of the man that is lost; None where it depends on the attacker's move
    step : the square the defending king goes to
    stalemates : whether it is stalemate then after one of the attacker's moves
    """

    kind: ClassVar[str] = "man_caught"

    man: chess.PieceType | None
    step: chess.Square
    stalemates: bool = False


def seen(board: chess.Board, attacker: chess.Color, is_drawn: Callable[[chess.Board], bool]) -> ManCaught | None:
    """Return the step that catches a man, None without one."""
    if board.turn == attacker or men(board, not attacker):
        return None
    foe = king(board, not attacker)
    for step in sorted(move.to_square for move in board.legal_moves if not board.is_capture(move)):
        after = after_move(board, chess.Move(foe, step))
        falls = man_falls.seen(after, attacker, is_drawn)
        if falls is not None:
            return ManCaught(falls.man, step, falls.stalemates)
    return None
