"""A man falls: the defender can take a man of the attacker, and what is left is drawn.

The defender is to move and takes at once; or the attacker is to move, and after each of his moves either the defender
can take a man so, or it is stalemate.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, taken_by
from matebot.records import dataclass


@dataclass(frozen=True)
class ManFalls(Idea):
    """How a man is lost.

    Attributes
    ----------
    man : kind of the man that is taken; None where it depends on the attacker's move
    capture : the drawing capture of the defender, to move; None where the attacker is to move
    stalemates : whether it is stalemate after one of the attacker's moves
    """

    kind: ClassVar[str] = "man_falls"

    man: chess.PieceType | None
    capture: chess.Move | None
    stalemates: bool = False


def seen(board: chess.Board, attacker: chess.Color, is_drawn: Callable[[chess.Board], bool]) -> ManFalls | None:
    """Return how the attacker loses a man: the best man that can be taken, then the lowest square it is taken from."""
    if board.turn != attacker:
        best = _drawing_capture(board, is_drawn)
        return None if best is None else ManFalls(best[0], best[1])
    kinds, stalemates = set[chess.PieceType](), False
    for move in board.legal_moves:
        after = after_move(board, move)
        found = _drawing_capture(after, is_drawn)
        if found is not None:
            kinds.add(found[0])
        elif after.is_stalemate():
            stalemates = True
        else:
            return None
    if not kinds:
        return None
    return ManFalls(kinds.pop() if len(kinds) == 1 else None, None, stalemates)


def _drawing_capture(
    board: chess.Board, is_drawn: Callable[[chess.Board], bool]
) -> tuple[chess.PieceType, chess.Move] | None:
    found = []
    for move in board.generate_legal_captures():
        victim = taken_by(board, move)
        assert victim is not None
        after = after_move(board, move)
        if is_drawn(after):
            found.append((-victim, move.from_square, move.to_square, move))
    if not found:
        return None
    best = min(found, key=lambda item: item[:3])
    return -best[0], best[3]
