"""Minor piece against rook: nothing but king and knight, or king and bishop, against king and rook.

Drawn as a rule (handbooks, from memory): with king and minor piece near each other the rook attacks only one at a time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, men
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import from_edge, in_order, men_of, shut_mask


@dataclass(frozen=True)
class MinorHoldsRook(Idea):
    """A minor piece that holds.

    Attributes
    ----------
    minor, square : its kind and square
    king_steps : its king's steps to it
    from_edge : that king's steps from the edge
    kings_apart : steps between the kings
    off_edge : where the king on the edge could step off it, the attacker's men standing still; empty when it is off
    between : squares of the edge next to it, no corners, on which the minor piece could stand between king and rook: it
        stands there or attacks them
    """

    kind: ClassVar[str] = "minor_holds_rook"

    minor: chess.PieceType
    square: chess.Square
    king_steps: int
    from_edge: int
    kings_apart: int
    off_edge: Squares
    between: Squares


def seen(board: chess.Board, attacker: chess.Color) -> MinorHoldsRook | None:
    """Return the minor piece that holds the draw against a lone rook."""
    mine, theirs = men(board, attacker), men(board, not attacker)
    if len(mine) != 1 or mine[0][0] != chess.ROOK or len(theirs) != 1:
        return None
    minor, square = theirs[0]
    if minor not in (chess.KNIGHT, chess.BISHOP):
        return None
    own, placed = king(board, not attacker), men_of(board)
    off = between = 0
    if not from_edge(own):
        near = chess.BB_KING_ATTACKS[own] & ~placed.of(not attacker)
        inner = sum(chess.BB_SQUARES[s] for s in in_order(near) if from_edge(s))
        off = inner & ~shut_mask(placed, attacker)
        reach = board.attacks_mask(square) | chess.BB_SQUARES[square]
        between = reach & chess.BB_KING_ATTACKS[own] & ~inner & ~chess.BB_CORNERS & ~placed.of(attacker)
    steps, apart = (chess.square_distance(own, other) for other in (square, king(board, attacker)))
    return MinorHoldsRook(minor, square, steps, from_edge(own), apart, in_order(off), in_order(between))
