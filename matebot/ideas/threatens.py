"""A threat.

Definition. After a move that gives no check, what its side could do if it were on move again, and could not before,
with a man that no legal reply takes: the first of *mate*, *promotion* (a queen that no legal move takes), *capture* (of
a man that no legal move recaptures, and none could take before); of several moves the first by its name in long
algebraic form.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import gives_check
from matebot.records import dataclass


class Threat(Enum):
    """What is threatened."""

    MATE = "mate"
    PROMOTION = "promotion"
    CAPTURE = "capture"


@dataclass(frozen=True)
class Threatens(Idea):
    """A move that threatens another.

    Attributes
    ----------
    threat, move : what is threatened, and by which move
    square, man : where it comes to, and the kind of the man captured, or made
    """

    kind: ClassVar[str] = "threatens"
    threat: Threat
    move: chess.Move
    square: chess.Square
    man: chess.PieceType


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Threatens | None:
    """Return what a move threatens, None where nothing."""
    if after.is_check() or not any(after.generate_legal_moves()):
        return None
    again = after.copy(stack=False)
    again.turn, again.ep_square = before.turn, None
    moves = sorted(again.generate_legal_moves(), key=lambda m: m.uci())
    found: list[tuple[Threat, chess.Move, chess.PieceType]] = []
    for other in moves:
        if before.is_legal(other) or any(after.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[other.from_square])):
            continue
        kind = again.piece_type_at(other.to_square)
        gives = gives_check(again, other)
        if not (gives or kind or other.promotion == chess.QUEEN):
            continue
        then = again.copy(stack=False)
        then.push(other)
        if gives and not any(then.generate_legal_moves()):
            found.append((Threat.MATE, other, again.piece_type_at(other.from_square) or chess.PAWN))
        elif any(then.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[other.to_square])):
            continue
        elif other.promotion == chess.QUEEN:
            found.append((Threat.PROMOTION, other, chess.QUEEN))
        elif kind and not any(before.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[other.to_square])):
            found.append((Threat.CAPTURE, other, kind))
    if not found:
        return None
    threat, other, man = min(found, key=lambda item: list(Threat).index(item[0]))
    return Threatens(threat, other, other.to_square, man)
