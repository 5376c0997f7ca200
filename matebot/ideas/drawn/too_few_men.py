"""Too few men: a side without pawns that has no more than one minor piece, or two knights, or bishops of one colour.

Mate with them does not exist (bare king, one minor piece, bishops of one colour) or cannot be forced (two knights)
against a bare king; FIDE Laws, article 5.2.2, calls the former a dead position.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import is_dark, kinds, men
from matebot.ideas.idea import Idea
from matebot.records import dataclass


@dataclass(frozen=True)
class TooFewMen(Idea):
    """The men of the stronger side, from the pawn up, against a bare king or a single minor piece.

    Attributes
    ----------
    men : kinds of men
    possible : whether a mate exists that the defender would have to help with
    """

    kind: ClassVar[str] = "too_few_men"

    men: tuple[chess.PieceType, ...]
    possible: bool


def seen(board: chess.Board, attacker: chess.Color) -> TooFewMen | None:
    """Return what the stronger side has where that is too little."""
    own, theirs = kinds(board, attacker), kinds(board, not attacker)
    minor = (chess.KNIGHT, chess.BISHOP)
    if theirs and (len(theirs) > 1 or theirs[0] not in minor or len(own) > 1):
        return None
    if len(own) <= 1 and all(kind in minor for kind in own):
        return TooFewMen(own, bool(theirs) and (own, theirs) != ((chess.BISHOP,), (chess.BISHOP,)))
    if own == (chess.KNIGHT, chess.KNIGHT):
        return TooFewMen(own, True)
    if own == (chess.BISHOP, chess.BISHOP) and len({is_dark(square) for _, square in men(board, attacker)}) == 1:
        return TooFewMen(own, False)
    return None
