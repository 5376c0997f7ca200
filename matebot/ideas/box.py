"""Box.

Definition. The attacker has one queen or rook only, the defender a bare king. The piece's rank and file cut the board;
the box is the part in which the defending king stands: as many files as there are on its side of the piece's file times
as many ranks as there are on its side of the piece's rank, the piece's own lines left out. Where the king stands on one
of them there is no box.

Its squares are *free* where the king's range (see `squares`) has as many: its king takes none of them, and no other
square can be reached.

A move of the attacker is seen when there is a box after it and it is new, smaller, as large (*holds*) or larger.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, lone_heavy, men_of, range_mask
from matebot.records import dataclass


class BoxChange(Enum):
    """What a move does to the box."""

    MAKES = "makes"
    SHRINKS = "shrinks"
    HOLDS = "holds"
    WIDENS = "widens"
    OPENS = "opens"


@dataclass(frozen=True)
class Box(Idea):
    """A move that does something to the box.

    Attributes
    ----------
    change : what it does
    before, after : squares of the box, None without one
    free : whether the king can reach every square of the box after, and no other
    """

    kind: ClassVar[str] = "box"
    change: BoxChange
    before: int | None
    after: int | None
    free: bool


def box(men: Men, attacker: chess.Color) -> int | None:
    """Return the squares of the box, None without one."""
    piece = lone_heavy(men, attacker)
    if piece is None or men.of(not attacker) & ~men.kings:
        return None
    king = men.king(not attacker)
    size = 1
    for line in (chess.square_file, chess.square_rank):
        if line(king) == line(piece):
            return None
        size *= line(piece) if line(king) < line(piece) else 7 - line(piece)
    return size


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Box | None:
    """Return what a move of the attacker does to the box; None where there is none before and after."""
    if before.turn != attacker:
        return None
    was, now = box(men_of(before), attacker), box(men_of(after), attacker)
    if was is None or now is None:
        change = BoxChange.MAKES if now is not None else BoxChange.OPENS if was is not None else None
    else:
        change = BoxChange.SHRINKS if now < was else BoxChange.WIDENS if now > was else BoxChange.HOLDS
    return None if change is None else Box(change, was, now, now == range_mask(men_of(after), attacker).bit_count())
