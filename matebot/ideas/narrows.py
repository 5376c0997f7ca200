"""The range narrowed.

Definition. The defender has a bare king. A move of the attacker after which the range of the king, open before (no
cage), is smaller by at least a fifth, whether a cage now or not. It does so *along* the line on which a rook or bishop
has come to stand by the move, where no other man but the defending king stands on it.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import lines_through, men_of, range_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class Narrows(Idea):
    """A good part of the range is shut off.

    Attributes
    ----------
    size_before, size_after : squares of the range
    along : the line of a rook or bishop, such as "rank 5"; empty without
    """

    kind: ClassVar[str] = "narrows"
    size_before: int
    size_after: int
    along: tuple[str, ...]


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Narrows | None:
    """Return by how much a move of the attacker narrows an open range, None where by little or not at all."""
    if (
        before.turn != attacker
        or before.occupied_co[not attacker].bit_count() > 1
        or cage_mask(men_of(before), attacker)
    ):
        return None
    was = range_mask(men_of(before), attacker).bit_count()
    now = range_mask(men_of(after), attacker).bit_count()
    return Narrows(was, now, _along(before, move, after)) if 5 * now <= 4 * was else None


def _along(before: chess.Board, move: chess.Move, after: chess.Board) -> tuple[str, ...]:
    """Return the line on which a rook or bishop comes to stand alone, none for other men."""
    kind, source = before.piece_type_at(move.from_square), chess.BB_SQUARES[move.from_square]
    lines = lines_through(move.to_square)
    guarded = {chess.ROOK: lines[:2], chess.BISHOP: lines[2:]}.get(kind or chess.PAWN, ())
    others = after.occupied_co[before.turn] & ~chess.BB_SQUARES[move.to_square]
    return tuple(name for name, line in guarded if not line & (source | others))
