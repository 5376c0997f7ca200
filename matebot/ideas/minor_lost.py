"""Minor piece lost to the rook.

Definition. Rook against bishop or knight, nothing else beside the kings, is drawn as a rule (handbooks, from memory).
After a move the side with the rook wins all the same, it cannot take the minor piece at once, and the exception is
seen: the king with the bishop stands at most one king's step from a corner of the bishop's colour (the first, a1 before
h1 before a8 before h8), or the knight is more than two king's steps from its king. Of the wins with the defender to
move in which the next capture or mate is more than four plies off, that is three in four with a bishop and 97 in a
hundred with a knight.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import is_dark
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import CORNERS, in_order, king_steps, men_of, shut_mask
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_APART = 2


@dataclass(frozen=True)
class MinorLost(Idea):
    """Why the rook wins here.

    Attributes
    ----------
    minor, square : kind and square of the minor piece
    corner : the corner of the bishop's colour by which its king stands, None with a knight
    covered : all squares to which a knight could go, where the side with the rook attacks every one of them
    """

    kind: ClassVar[str] = "minor_lost"
    minor: chess.PieceType
    square: chess.Square
    corner: chess.Square | None
    covered: Squares = ()


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> MinorLost | None:
    """Return why the rook wins after a move, None where it does not or no exception is seen."""
    men = men_of(after)
    own, theirs = men.of(attacker) & ~men.kings, men.of(not attacker) & ~men.kings
    if own.bit_count() != 1 or not own & men.rooks or theirs.bit_count() != 1:
        return None
    square, king = theirs.bit_length() - 1, men.king(not attacker)
    corner = None
    if theirs & men.bishops:
        colour = is_dark(square)
        corner = next((c for c in CORNERS if king_steps(king, c) <= 1 and is_dark(c) == colour), None)
        if corner is None:
            return None
    elif not theirs & men.knights or king_steps(king, square) <= _APART:
        return None
    if after.turn == attacker and any(after.generate_legal_captures()):
        return None
    if truth.outcome(after) != (1 if after.turn == attacker else -1):
        return None
    goals = 0 if corner is not None else chess.BB_KNIGHT_ATTACKS[square] & ~men.of(not attacker)
    covered = in_order(goals) if not goals & ~shut_mask(men, attacker) else ()
    return MinorLost(chess.KNIGHT if corner is None else chess.BISHOP, square, corner, covered)
