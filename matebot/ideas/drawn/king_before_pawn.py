"""King in front of the pawn: the defending king stands before the lone pawn, on its file, at most two squares ahead.

Or, before a rook's pawn, anywhere in the corner (the promotion square and the squares next to it), or it keeps the
attacking king shut in on that file; or it holds the opposition, the attacker to move, whose king is ahead of the pawn.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import is_rook_file, king, lone, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.records import dataclass

_AHEAD = 2


@dataclass(frozen=True)
class KingBeforePawn(Idea):
    """Where the defending king stands before the pawn.

    Attributes
    ----------
    square : of the defending king
    rooks_pawn : whether it is a rook's pawn and the king is in its corner
    has_opposition : whether it also stands opposite the other king, that side to move
    shut_in : whether the attacking king is shut in before its own rook's pawn
    """

    kind: ClassVar[str] = "king_before_pawn"

    square: chess.Square
    rooks_pawn: bool
    has_opposition: bool
    shut_in: bool


def seen(board: chess.Board, attacker: chess.Color) -> KingBeforePawn | None:
    """Return how the defending king stands before the attacker's only man, a pawn."""
    pawn = lone(board, attacker, chess.PAWN)
    if pawn is None or board.occupied_co[not attacker] != board.kings & board.occupied_co[not attacker]:
        return None
    mine, theirs = king(board, attacker), king(board, not attacker)
    goal = promotion_square(pawn, attacker)
    same_file = chess.square_file(theirs) == chess.square_file(pawn)
    to_go = chess.square_distance(goal, theirs) if same_file else 8
    ahead = ranks_to_go(pawn, attacker) - to_go
    before = same_file and 1 <= ahead <= _AHEAD
    corner = is_rook_file(pawn) and chess.square_distance(theirs, goal) <= 1
    shut_in = is_rook_file(pawn) and _shut_in(mine, theirs, pawn, attacker)
    opposes = board.turn == attacker and _opposite(mine, theirs)
    led = opposes and ranks_to_go(theirs, attacker) <= ranks_to_go(mine, attacker) < ranks_to_go(pawn, attacker)
    if not (before or corner or shut_in or led):
        return None
    return KingBeforePawn(theirs, corner, opposes, shut_in)


def _shut_in(mine: chess.Square, theirs: chess.Square, pawn: chess.Square, attacker: chess.Color) -> bool:
    """Whether the attacking king is on the pawn's file before it and the other king two files beside it."""
    same_file = chess.square_file(mine) == chess.square_file(pawn)
    in_front = ranks_to_go(mine, attacker) < ranks_to_go(pawn, attacker)
    beside = abs(chess.square_file(theirs) - chess.square_file(mine)) == 2
    return same_file and in_front and beside and abs(chess.square_rank(theirs) - chess.square_rank(mine)) <= 1


def _opposite(one: chess.Square, other: chess.Square) -> bool:
    files = abs(chess.square_file(one) - chess.square_file(other))
    ranks = abs(chess.square_rank(one) - chess.square_rank(other))
    return (files, ranks) in ((0, 2), (2, 0))
