"""A man attacked by the king.

Definition. A step of the defending king to a square next to a man of the attacker, not its king, that it was not next
to before. The man is loose when nobody guards it, and ties its king when that alone guards it.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import in_order, is_king_step, men_of, shut_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class AttacksMan(Idea):
    """The king goes at men of the attacker.

    Attributes
    ----------
    squares : where they stand
    men : their kinds, in the same order
    loose : those of them that nobody guards
    tying : those of them that only their king guards
    """

    kind: ClassVar[str] = "attacks_man"
    squares: Squares
    men: tuple[chess.PieceType, ...]
    loose: Squares
    tying: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> AttacksMan | None:
    """Return the men a step of the defending king attacks anew, None without any."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    new = men_of(after)
    anew = chess.BB_KING_ATTACKS[move.to_square] & ~chess.BB_KING_ATTACKS[move.from_square]
    hit = anew & new.of(attacker) & ~new.kings
    if not hit:
        return None
    squares = in_order(hit)
    kinds = tuple(after.piece_type_at(square) or chess.PAWN for square in squares)
    king = chess.BB_SQUARES[new.king(attacker)]
    tying = tuple(square for square in squares if after.attackers_mask(attacker, square) == king)
    return AttacksMan(squares, kinds, in_order(hit & ~shut_mask(new, attacker)), tying)
