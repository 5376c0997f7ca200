"""Attacked man saved.

Definition. Before a move of the attacker the defending king stands next to a man of the attacker, not the king, that
nobody guards, so that it could take it; after the move it could not take that man (followed where it went): the man
moved away or is guarded now.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import in_order, men_of, takeable
from matebot.records import dataclass


@dataclass(frozen=True)
class Saved(Idea):
    """A man brought out of danger.

    Attributes
    ----------
    man, square : its kind and where it stood
    moved : whether it moved itself; otherwise it is guarded now
    """

    kind: ClassVar[str] = "saved"
    man: chess.PieceType
    square: chess.Square
    moved: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Saved | None:
    """Return the first man that a move of the attacker saves, a1 first; None without one."""
    if before.turn != attacker:
        return None
    danger, still = takeable(men_of(before), attacker), takeable(men_of(after), attacker)
    for square in in_order(danger):
        moved = square == move.from_square
        if not still >> (move.to_square if moved else square) & 1:
            return Saved(before.piece_type_at(square) or chess.PAWN, square, moved)
    return None
