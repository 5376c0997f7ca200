"""Wrong corner.

Definition. Mate can be forced in some corners and not in others (see `cage`; bishop and knight: the corners of the
bishop's colour are right, the others wrong). A step of the defending king *runs* for a wrong corner when that is the
nearest wrong corner after it (of two as near the first, a1 before h1 before a8 before h8), the king has come nearer to
it (king's steps), every right corner is farther, and the king is in it or finds a square next to it, nearer to the
corner, that is not shut (see `king_range`). A move of the attacker *drives out* when the king stands at most
two steps from the wrong corner nearest to it, and every legal reply, of which there is one at least, is a step of the
king farther from it, after which the corner is not in its range (see `king_range`): it cannot go back.
"""

from __future__ import annotations

from enum import Enum
from functools import lru_cache
from typing import ClassVar

import chess

from matebot.ideas.cage import forcing_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import CORNERS, after_move, in_order, is_king_step, king_steps, men_of, range_mask
from matebot.records import dataclass


class CornerDeed(Enum):
    """What a move has to do with a wrong corner."""

    RUNS = "runs"
    DRIVES_OUT = "drives out"


@dataclass(frozen=True)
class WrongCorner(Idea):
    """A king on its way to a wrong corner, or out of one.

    Attributes
    ----------
    deed : which
    corner : the wrong corner
    steps : the defending king's steps to it after the move
    """

    kind: ClassVar[str] = "wrong_corner"
    deed: CornerDeed
    corner: chess.Square
    steps: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> WrongCorner | None:
    """Return what a move has to do with a wrong corner, None where nothing."""
    men = men_of(after)
    right, wrong = _corners(forcing_mask(men, attacker))
    if not right or not wrong:
        return None
    if before.turn == attacker:
        return _driven_out(after, men.king(not attacker), wrong, attacker)
    return _run(move, right, wrong, range_mask(men, attacker)) if is_king_step(before, move) else None


@lru_cache(maxsize=8)
def _corners(forcing: int) -> tuple[tuple[chess.Square, ...], tuple[chess.Square, ...]]:
    """Return the corners in which mate can be forced, given as bits, and the others."""
    right = in_order(forcing)
    return right, tuple(corner for corner in CORNERS if corner not in right)


def _run(
    move: chess.Move, right: tuple[chess.Square, ...], wrong: tuple[chess.Square, ...], free: int
) -> WrongCorner | None:
    corner = min(wrong, key=lambda c: king_steps(move.to_square, c))
    steps = king_steps(move.to_square, corner)
    if steps >= king_steps(move.from_square, corner) or min(king_steps(move.to_square, c) for c in right) <= steps:
        return None
    on = chess.BB_KING_ATTACKS[move.to_square] & free
    if steps and not any(king_steps(square, corner) < steps for square in in_order(on)):
        return None  # its way there is shut
    return WrongCorner(CornerDeed.RUNS, corner, steps)


def _driven_out(
    after: chess.Board, king: chess.Square, wrong: tuple[chess.Square, ...], attacker: chess.Color
) -> WrongCorner | None:
    corner = min(wrong, key=lambda c: king_steps(king, c))
    steps = king_steps(king, corner)
    if steps > 2:
        return None
    replies = list(after.generate_legal_moves())
    if not replies or any(r.from_square != king or king_steps(r.to_square, corner) <= steps for r in replies):
        return None
    if any(_goes_back(after, reply, corner, attacker) for reply in replies):
        return None
    return WrongCorner(CornerDeed.DRIVES_OUT, corner, steps)


def _goes_back(after: chess.Board, reply: chess.Move, corner: chess.Square, attacker: chess.Color) -> bool:
    gone = after_move(after, reply)
    return bool(range_mask(men_of(gone), attacker) >> corner & 1)
