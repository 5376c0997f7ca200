"""Barrier of bishop and knight.

Definition. The attacker has a bishop and a knight only, they stand on squares of one colour, so that together they
guard squares of both, and each of them guards a square next to the defending king (lines go through that king). It is
seen after a move of the attacker; it is new if there was none before the move.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import Men, bishop_and_knight, guarding, in_order, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class Barrier(Idea):
    """Bishop and knight guard both colours next to the king.

    Attributes
    ----------
    by_bishop, by_knight : the squares next to the defending king that each guards
    new : whether there was no barrier before the move
    """

    kind: ClassVar[str] = "barrier"
    by_bishop: Squares
    by_knight: Squares
    new: bool


def barrier(men: Men, attacker: chess.Color) -> tuple[int, int] | None:
    """Return the squares next to the defending king guarded by bishop and by knight, None without a barrier."""
    pair = bishop_and_knight(men, attacker)
    if pair is None or bool(chess.BB_LIGHT_SQUARES >> pair[0] & 1) != bool(chess.BB_LIGHT_SQUARES >> pair[1] & 1):
        return None
    near, over = chess.BB_KING_ATTACKS[men.king(not attacker)], dict(guarding(men, attacker))
    by_bishop, by_knight = over[pair[0]] & near, over[pair[1]] & near
    return (by_bishop, by_knight) if by_bishop and by_knight else None


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Barrier | None:
    """Return the barrier that stands after a move of the attacker, None without one."""
    found = barrier(men_of(after), attacker) if before.turn == attacker else None
    if found is None:
        return None
    return Barrier(in_order(found[0]), in_order(found[1]), barrier(men_of(before), attacker) is None)
