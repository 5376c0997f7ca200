"""The attacking king goes for a man.

Definition. The defender has one man beside the king. A step of the attacking king, no capture, that brings it nearer
(king's steps) to that man, which no other man of the attacker attacks after it. Where the man is a pawn, the king is
*inside its square* when it has no more steps to the promotion square than the pawn moves, the double step counted as
one.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import is_king_step, kind_of, king_steps, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class NearsMan(Idea):
    """The attacking king comes nearer to the defender's man.

    Attributes
    ----------
    man, square : its kind and square
    steps : king's steps to it after the move
    from_king : its own king's steps to it
    inside : whether the king is inside the square of the pawn; None for a piece
    """

    kind: ClassVar[str] = "nears_man"
    man: chess.PieceType
    square: chess.Square
    steps: int
    from_king: int
    inside: bool | None


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> NearsMan | None:
    """Return the man that a step of the attacking king goes for, None for another move or without one."""
    if before.turn != attacker or not is_king_step(before, move) or before.is_capture(move):
        return None
    men = men_of(after)
    theirs = men.of(not attacker) & ~men.kings
    if theirs.bit_count() != 1:
        return None
    square = theirs.bit_length() - 1
    steps = king_steps(move.to_square, square)
    if steps >= king_steps(move.from_square, square):
        return None
    others = after.attackers_mask(attacker, square) & ~after.kings
    if others:
        return None
    kind = kind_of(after, square)
    inside = _inside(move.to_square, square, attacker) if kind == chess.PAWN else None
    return NearsMan(kind, square, steps, king_steps(men.king(not attacker), square), inside)


def _inside(king: chess.Square, pawn: chess.Square, attacker: chess.Color) -> bool:
    goal = chess.square(chess.square_file(pawn), 0 if attacker else 7)
    return king_steps(king, goal) <= min(king_steps(pawn, goal), 5)
