"""Mate.

Definition. The move gives checkmate. Every square beside the king on which none of its own men stands is *held* by the
first man of the attacker that guards it: men that check come first, the others next, the king last, each from a1 on;
lines go through the king that is mated. Squares on which its own men stand are *blocked*.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from operator import or_
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import from_edge, guarding, in_order, kind_of, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class Holder(Idea):
    """What one man has to do with a mate.

    Attributes
    ----------
    man, square : its kind, and where it stands
    checks : whether it gives check
    squares : squares beside the king that it holds
    alone : those of them that no other man guards
    """

    kind: ClassVar[str] = "holder"
    man: chess.PieceType
    square: chess.Square
    checks: bool
    squares: Squares
    alone: Squares


@dataclass(frozen=True)
class Mates(Idea):
    """Checkmate.

    Attributes
    ----------
    king : the square of the king that is mated
    man : kind of the man that moved; what it became, after a promotion
    in_corner, on_edge : whether that square is a corner, and whether it is on the edge
    holders : the men that check or hold a square, in the order of the definition
    blocked : squares beside it on which its own men stand
    """

    kind: ClassVar[str] = "mates"
    king: chess.Square
    man: chess.PieceType
    in_corner: bool
    on_edge: bool
    holders: tuple[Holder, ...]
    blocked: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Mates | None:
    """Return the mate a move gives, None without one."""
    if not after.is_check() or any(after.generate_legal_moves()):
        return None
    king = men_of(after).king(after.turn)
    man = after.piece_type_at(move.to_square) or chess.PAWN
    own = chess.BB_KING_ATTACKS[king] & after.occupied_co[after.turn]
    corner = bool(chess.BB_CORNERS >> king & 1)
    return Mates(king, man, corner, from_edge(king) == 0, tuple(_holders(after, king, own)), in_order(own))


def _holders(after: chess.Board, king: chess.Square, own: int) -> Iterator[Holder]:
    checkers, left = after.checkers_mask(), chess.BB_KING_ATTACKS[king] & ~own
    reach = dict(guarding(men_of(after), not after.turn))
    for man in sorted(reach, key=lambda s: (not checkers >> s & 1, bool(after.kings >> s & 1), s)):
        held, checks = reach[man] & left, bool(checkers >> man & 1)
        others = reduce(or_, (over for other, over in reach.items() if other != man), 0)
        left &= ~held
        if held or checks:
            yield Holder(kind_of(after, man), man, checks, in_order(held), in_order(held & ~others))
