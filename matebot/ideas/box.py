"""Box.

Definition. The attacker has one queen or rook only, the defender a bare king. The piece's rank and file cut the board;
the box is the part in which the defending king stands: as many files as there are on its side of the piece's file times
as many ranks as there are on its side of the piece's rank, the piece's own lines left out. Where the king stands on one
of them there is no box.

Its squares are *free* where the king's range (see `squares`) has as many: its king takes none of them, and no other
square can be reached.

A line of the piece *bars* where the king reaches no square on it or beyond by such steps, the piece not taken: a man
beside it may shield the line, and there the king crosses. A move *takes* squares where the king reaches fewer, so
counted, than before.

A move of the attacker is seen when there is a box after it and it is new, smaller, as large (*holds*) or larger.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, flood, lone_heavy, men_of, range_mask, shut_mask
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
    takes : whether the king can reach fewer squares than before
    bars : the lines of the piece, such as "rank 5" or "file e", that the king can cross nowhere after
    """

    kind: ClassVar[str] = "box"
    change: BoxChange
    before: int | None
    after: int | None
    free: bool
    takes: bool = False
    bars: tuple[str, ...] = ()


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
    if change is None:
        return None
    new = men_of(after)
    left = _reached(new, attacker)
    takes = left.bit_count() < _reached(men_of(before), attacker).bit_count()
    return Box(change, was, now, now == range_mask(new, attacker).bit_count(), takes, _bars(new, attacker, left))


def _reached(men: Men, attacker: chess.Color) -> int:
    """Return what the defending king reaches while the attacker's men stand still and none is taken."""
    return flood(chess.BB_SQUARES[men.king(not attacker)], ~(shut_mask(men, attacker) | men.of(attacker)))


def _bars(men: Men, attacker: chess.Color, reached: int) -> tuple[str, ...]:
    """Return the lines of the piece beyond which the king comes nowhere."""
    piece = lone_heavy(men, attacker)
    if piece is None:
        return ()
    king, found = men.king(not attacker), list[str]()
    for line, name in (
        (chess.square_rank, f"rank {chess.RANK_NAMES[chess.square_rank(piece)]}"),
        (chess.square_file, f"file {chess.FILE_NAMES[chess.square_file(piece)]}"),
    ):
        side = line(king) - line(piece)
        if all((line(square) - line(piece)) * side > 0 for square in chess.scan_forward(reached)):
            found.append(name)
    return tuple(found)
