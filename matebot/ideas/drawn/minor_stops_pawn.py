"""Minor piece against pawn: a lone bishop or knight, which cannot mate, against a lone pawn that does not get through.

It is seen how the pawn is held now: by squares of its way that the piece guards or stands on, or by the king inside the
pawn's square; neither need be so where the pawn is only stopped later.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import kinds, king, men, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea


@dataclass(frozen=True)
class MinorStopsPawn(Idea):
    """The kind of the minor piece, the squares of the pawn's way it guards or blocks, whether its king is near."""

    kind: ClassVar[str] = "minor_stops_pawn"

    minor: chess.PieceType
    held: tuple[chess.Square, ...]
    king_near: bool


def seen(board: chess.Board, attacker: chess.Color) -> MinorStopsPawn | None:
    """Return how a lone minor piece, the attacker's, stops the other side's only man, a pawn."""
    own, theirs = men(board, attacker), men(board, not attacker)
    if kinds(board, attacker) not in ((chess.KNIGHT,), (chess.BISHOP,)) or kinds(board, not attacker) != (chess.PAWN,):
        return None
    minor, pawn = own[0][1], theirs[0][1]
    goal = promotion_square(pawn, not attacker)
    way = chess.between(pawn, goal) | chess.BB_SQUARES[goal]
    held = chess.SquareSet(way & (int(board.attacks(minor)) | chess.BB_SQUARES[minor]))
    late = ranks_to_go(pawn, not attacker) + (board.turn == attacker)
    near = chess.square_distance(king(board, attacker), goal) <= late
    return MinorStopsPawn(own[0][0], tuple(held), near)
