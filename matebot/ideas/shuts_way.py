"""A way shut.

Definition. Squares next to the defending king that a move of the attacker comes to guard (see `king_range`), no man of
the attacker standing on them after it, and that lead somewhere; the first of these with any such square counts.
*Own man*: nearer (king's steps) to the defender's man, where he has one beside the king. *Pawn*: nearer to the
attacker's pawn, where he has one and no other. *Wrong corner*: nearer to the nearest corner in which mate cannot be
forced, at most three steps off, where there are others in which it can (see `cage`; of two as near the first by
square). *Centre*: farther from the edge of the board. *Out of the corner*, where the attacker has neither queen nor
rook: farther from the nearest corner in which mate can be forced, at most two steps off. It is the *last* way of its
sort when no square next to the king that leads there is left open to it after the move.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.cage import forcing_mask
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import Men, from_edge, in_order, king_steps, men_of, shut_mask
from matebot.records import dataclass

_NEAR_WRONG, _NEAR_RIGHT = 3, 2


class Aim(Enum):
    """Where a way leads."""

    OWN_MAN = "own man"
    PAWN = "pawn"
    WRONG_CORNER = "wrong corner"
    CENTRE = "centre"
    OUT_OF_CORNER = "out of the corner"


@dataclass(frozen=True)
class ShutsWay(Idea):
    """A way of the defending king shut.

    Attributes
    ----------
    aim : where it leads
    squares : the squares shut
    target : the man or corner it is about, None for the centre
    last : whether no other square next to the king leads there
    """

    kind: ClassVar[str] = "shuts_way"
    aim: Aim
    squares: Squares
    target: chess.Square | None
    last: bool


Leads = Callable[[chess.Square], bool]


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> ShutsWay | None:
    """Return the way a move of the attacker shuts, None without one."""
    if before.turn != attacker:
        return None
    old, new = men_of(before), men_of(after)
    near = chess.BB_KING_ATTACKS[new.king(not attacker)] & ~new.of(attacker) & ~new.of(not attacker)
    closed = shut_mask(new, attacker)
    fresh = near & closed & ~shut_mask(old, attacker)
    if not fresh:
        return None
    for aim, target, leads in ways(new, attacker):
        squares = tuple(square for square in in_order(fresh) if leads(square))
        if squares:
            return ShutsWay(aim, squares, target, not any(leads(square) for square in in_order(near & ~closed)))
    return None


def ways(men: Men, attacker: chess.Color) -> Iterator[tuple[Aim, chess.Square | None, Leads]]:
    """Yield where ways of the defending king lead, and what tells whether a square next to it leads there."""
    king = men.king(not attacker)
    theirs, mine = (men.of(side) & ~men.kings for side in (not attacker, attacker))
    if theirs.bit_count() == 1:
        yield Aim.OWN_MAN, theirs.bit_length() - 1, _nearer(king, theirs.bit_length() - 1)
    if mine.bit_count() == 1 and mine & men.pawns:
        yield Aim.PAWN, mine.bit_length() - 1, _nearer(king, mine.bit_length() - 1)
    right = forcing_mask(men, attacker)
    wrong = chess.BB_CORNERS & ~right if right else 0
    corner = _nearest(king, wrong, _NEAR_WRONG)
    if corner is not None:
        yield Aim.WRONG_CORNER, corner, _nearer(king, corner)
    yield Aim.CENTRE, None, lambda square: from_edge(square) > from_edge(king)
    heavy = (men.queens | men.rooks) & men.of(attacker)
    corner = _nearest(king, right, _NEAR_RIGHT)
    if corner is not None and not heavy:
        yield Aim.OUT_OF_CORNER, corner, _farther(king, corner)


def _nearest(king: chess.Square, corners: int, most: int) -> chess.Square | None:
    corner = min(in_order(corners), key=lambda c: king_steps(king, c), default=None)
    return corner if corner is not None and king_steps(king, corner) <= most else None


def _nearer(king: chess.Square, target: chess.Square) -> Leads:
    return lambda square: king_steps(square, target) < king_steps(king, target)


def _farther(king: chess.Square, target: chess.Square) -> Leads:
    return lambda square: king_steps(square, target) > king_steps(king, target)
