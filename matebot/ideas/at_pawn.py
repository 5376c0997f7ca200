"""The defending king and the pawn.

Definition. The attacker has one pawn. A step of the defending king, no capture; the first of these. *In front*: it
comes to the pawn's file, nearer to promotion than the pawn, and was not there. *Square*: the pawn, by steps of one
square, was nearer to promotion than the king to the promotion square before, and is not after. *Nearer*: it comes
nearer (king's steps) to the pawn.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import is_king_step, king_steps, men_of
from matebot.records import dataclass


class Reach(Enum):
    """How the king comes to terms with the pawn."""

    IN_FRONT = "in front"
    SQUARE = "square"
    NEARER = "nearer"


@dataclass(frozen=True)
class AtPawn(Idea):
    """The defending king goes for the pawn.

    Attributes
    ----------
    reach : how
    pawn : its square
    steps : king's steps to it
    to_go : steps of one square that the pawn has to promotion
    """

    kind: ClassVar[str] = "at_pawn"
    reach: Reach
    pawn: chess.Square
    steps: int
    to_go: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> AtPawn | None:
    """Return how a step of the defending king comes to terms with the pawn, None where it does not."""
    if before.turn == attacker or not is_king_step(before, move) or before.is_capture(move):
        return None
    men = men_of(after)
    pawns = men.pawns & men.of(attacker)
    if pawns.bit_count() != 1:
        return None
    pawn = pawns.bit_length() - 1
    steps = king_steps(move.to_square, pawn)
    goal = chess.square(chess.square_file(pawn), 7 if attacker else 0)
    left = abs(chess.square_rank(goal) - chess.square_rank(pawn))
    if _in_front(move.to_square, pawn, attacker) and not _in_front(move.from_square, pawn, attacker):
        return AtPawn(Reach.IN_FRONT, pawn, steps, left)
    if king_steps(move.from_square, goal) > left >= king_steps(move.to_square, goal):
        return AtPawn(Reach.SQUARE, pawn, steps, left)
    return AtPawn(Reach.NEARER, pawn, steps, left) if steps < king_steps(move.from_square, pawn) else None


def _in_front(king: chess.Square, pawn: chess.Square, attacker: chess.Color) -> bool:
    ahead = chess.square_rank(king) - chess.square_rank(pawn)
    return chess.square_file(king) == chess.square_file(pawn) and (ahead > 0) == attacker
