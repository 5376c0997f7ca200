"""Attacked man saved.

Definition. Before a move of the attacker, who is not in check, one of his men, not the king, is in *danger*: the
defending king stands next to it and nobody guards it, or another man of the defender attacks it and it is unguarded or
of more worth (pawn 1, knight and bishop 3, rook 5, queen 9). After the move that man (followed where it went) is not in
danger: the man moved away or is guarded now.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.refutation import STRENGTH
from matebot.ideas.squares import in_order, kind_of, men_of, takeable
from matebot.records import dataclass


@dataclass(frozen=True)
class Saved(Idea):
    """A man brought out of danger.

    Attributes
    ----------
    man, square : its kind and where it stood
    moved : whether it moved itself; otherwise it is guarded, or no longer attacked, now
    by : kind of the man it was in danger from: the king where that is one
    """

    kind: ClassVar[str] = "saved"
    man: chess.PieceType
    square: chess.Square
    moved: bool
    by: chess.PieceType


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Saved | None:
    """Return the first man that a move of the attacker saves, a1 first; None without one."""
    if before.turn != attacker:
        return None
    danger = in_danger(before, attacker)
    if not danger:
        return None
    still = in_danger(after, attacker)
    for square in in_order(sum(chess.BB_SQUARES[s] for s in danger)):
        moved = square == move.from_square
        if (move.to_square if moved else square) not in still and not move.promotion:
            return Saved(before.piece_type_at(square) or chess.PAWN, square, moved, danger[square])
    return None


def in_danger(board: chess.Board, attacker: chess.Color) -> dict[chess.Square, chess.PieceType]:
    """Return the attacker's men in danger, with the kind of man that endangers each."""
    found = dict.fromkeys(in_order(takeable(men_of(board), attacker)), chess.KING)
    theirs = board.occupied_co[not attacker] & ~board.kings
    if theirs and not board.is_check():
        for man in in_order(theirs):
            worth = STRENGTH[kind_of(board, man)]
            for square in in_order(board.attacks_mask(man) & board.occupied_co[attacker] & ~board.kings):
                more = STRENGTH[kind_of(board, square)] > worth
                if (more or not board.is_attacked_by(attacker, square)) and not _pinned(board, man, square):
                    found.setdefault(square, kind_of(board, man))
    return found


def _pinned(board: chess.Board, man: chess.Square, square: chess.Square) -> bool:
    """Whether a man may not go to a square since its king would be in check."""
    colour = board.color_at(man)
    return colour is not None and not board.pin_mask(colour, man) >> square & 1
