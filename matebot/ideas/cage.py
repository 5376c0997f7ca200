"""Cage.

Definition. A range of at most 14 squares that lies no farther (king's steps from its nearest square) from a corner in
which mate can be forced than from any other corner. In which corners mate can be forced follows from the attacker's
men beside the king, pawns left out: with a queen, a rook, or bishops on both colours in all four; with bishops on one
colour and a knight in the two of that colour; with anything less in none, so there is no cage.

A move of the attacker *shuts* a cage if there was none, *tightens* it if there are fewer squares after, *holds* it if
there are as many (the *same* squares or others), *widens* it if there are more, and *opens* it if there is none
after. By a move of the defender the king *enters* a cage if there was none (it steps out of a check into a part shut
off), and *leaves* it if there is none after (it took a man of the wall, or lines were blocked).

Men of the attacker on squares of the range are *loose*: the king may come to take them, and the cage is open there.

Where a cage is shut or tightened, the *gate* is every square a king's step from the range after that was not shut
before and is shut after, the square the man that moved has left aside. Where it has three squares or more and the man
that moved guards them all, it lies *along* the fewest lines through that man (ranks, files, diagonals, in this order;
at most two) that hold it.
"""

from __future__ import annotations

from enum import Enum
from functools import lru_cache
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import (
    CORNERS,
    Men,
    grown,
    guarding,
    in_order,
    lines_holding,
    men_of,
    range_mask,
    shut_mask,
)
from matebot.records import dataclass

LARGEST_CAGE = 14
_LONG_GATE = 3


class CageChange(Enum):
    """What a move does to the cage."""

    SHUTS = "shuts"
    TIGHTENS = "tightens"
    HOLDS = "holds"
    WIDENS = "widens"
    OPENS = "opens"
    ENTERS = "enters"
    LEAVES = "leaves"

    @property
    def smaller(self) -> bool:
        """Whether it shuts or tightens the cage."""
        return self in (CageChange.SHUTS, CageChange.TIGHTENS)


@dataclass(frozen=True)
class Cage(Idea):
    """A move that does something to the cage.

    Attributes
    ----------
    change : what it does
    size_before, size_after : squares of the range before and after, whether it is a cage or not
    gate : squares by which the king could go and cannot now; empty unless the cage is shut or tightened
    along : the lines they lie on, such as "rank 5", "file e" or "diagonal a2-g8"; empty without
    same : whether the squares of the range are the same before and after
    loose : men of the attacker that stand in the range after
    room : squares of the cage after; empty unless the cage is shut or tightened
    """

    kind: ClassVar[str] = "cage"
    change: CageChange
    size_before: int
    size_after: int
    gate: Squares = ()
    along: tuple[str, ...] = ()
    same: bool = False
    loose: Squares = ()
    room: Squares = ()


def cage(board: chess.Board, attacker: chess.Color) -> chess.SquareSet | None:
    """Return the cage the defending king is in, None without one."""
    mask = cage_mask(men_of(board), attacker)
    return chess.SquareSet(mask) if mask else None


@lru_cache(maxsize=1024)
def forcing_mask(men: Men, attacker: chess.Color) -> int:
    """Return the corners in which the attacker's men can force mate, as bits; none where they cannot anywhere."""
    own = men.of(attacker)
    bishops = men.bishops & own
    both = bool(bishops & chess.BB_LIGHT_SQUARES) and bool(bishops & chess.BB_DARK_SQUARES)
    if own & (men.queens | men.rooks) or both:
        return chess.BB_CORNERS
    if bishops and men.knights & own:
        colour = chess.BB_LIGHT_SQUARES if bishops & chess.BB_LIGHT_SQUARES else chess.BB_DARK_SQUARES
        return chess.BB_CORNERS & colour
    return 0


@lru_cache(maxsize=1024)
def cage_mask(men: Men, attacker: chess.Color) -> int:
    """Return the cage as bits, 0 without one."""
    mask = range_mask(men, attacker)
    return mask if is_cage(mask, forcing_mask(men, attacker)) else 0


def is_cage(mask: int, corners: int) -> bool:
    """Whether a range is small enough and lies by one of the corners given as bits rather than by another."""
    if not corners or mask.bit_count() > LARGEST_CAGE:
        return False
    right, wrong = corners, chess.BB_CORNERS & ~corners
    for _ in CORNERS * 2:
        if right & mask:
            return True
        if wrong & mask:
            return False
        right, wrong = grown(right), grown(wrong)
    return False


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Cage | None:
    """Return what a move does to the cage; None where there is none before and after."""
    old, new = men_of(before), men_of(after)
    was, now = cage_mask(old, attacker), cage_mask(new, attacker)
    if before.turn == attacker:
        change = _by_attacker(was.bit_count(), now.bit_count())
    else:
        change = CageChange.ENTERS if now and not was else CageChange.LEAVES if was and not now else None
    if change is None:
        return None
    sizes = range_mask(old, attacker).bit_count(), range_mask(new, attacker).bit_count()
    same = range_mask(old, attacker) == range_mask(new, attacker)
    loose = in_order(range_mask(new, attacker) & new.of(attacker))
    if not change.smaller:
        return Cage(change, *sizes, same=same, loose=loose)
    left = chess.BB_SQUARES[move.from_square]
    gate = grown(now) & shut_mask(new, attacker) & ~shut_mask(old, attacker) & ~now & ~left
    return Cage(change, *sizes, in_order(gate), _along(gate, new, move.to_square, attacker), same, loose, in_order(now))


def _along(gate: int, men: Men, man: chess.Square, attacker: chess.Color) -> tuple[str, ...]:
    """Return the fewest lines of the man that moved on which the whole gate lies; none where it does not."""
    slides = chess.BB_SQUARES[man] & (men.bishops | men.rooks | men.queens)
    if gate.bit_count() < _LONG_GATE or not slides or gate & ~dict(guarding(men, attacker))[man]:
        return ()
    return lines_holding(gate, man)


def _by_attacker(was: int, now: int) -> CageChange | None:
    if not was or not now:
        return CageChange.SHUTS if now else CageChange.OPENS if was else None
    return CageChange.TIGHTENS if now < was else CageChange.WIDENS if now > was else CageChange.HOLDS
