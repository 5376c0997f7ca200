"""Bishop's or rook's pawn one step from promotion against a lone queen, its king beside the promotion square.

With a rook's pawn the king steps into the corner before it and has no other move, with a bishop's pawn it leaves the
pawn to be taken and goes to the corner: either way the queen must let it out or gives stalemate. Only a king that is
near changes that; more than four steps from the promotion square it is too far away.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import king, lone, promotion_square, ranks_to_go
from matebot.ideas.idea import Idea
from matebot.records import dataclass

_NEAR_STEPS = 4
_FILES = {0: "rook", 2: "bishop", 5: "bishop", 7: "rook"}


@dataclass(frozen=True)
class PawnOnTheSeventh(Idea):
    """The pawn that holds.

    Attributes
    ----------
    pawn : its square
    bishops_pawn : whether it is a bishop's, else it is a rook's
    corner : to which its king goes
    king_far : whether the attacking king is too far away
    """

    kind: ClassVar[str] = "pawn_on_the_seventh"

    pawn: chess.Square
    bishops_pawn: bool
    corner: chess.Square
    king_far: bool


def seen(board: chess.Board, attacker: chess.Color) -> PawnOnTheSeventh | None:
    """Return the pawn that holds the draw against a lone queen."""
    pawn = lone(board, not attacker, chess.PAWN)
    if pawn is None or lone(board, attacker, chess.QUEEN) is None or ranks_to_go(pawn, not attacker) != 1:
        return None
    file = chess.square_file(pawn)
    goal = promotion_square(pawn, not attacker)
    if file not in _FILES or chess.square_distance(king(board, not attacker), goal) > 1:
        return None
    corner = chess.square(0 if file < 4 else 7, chess.square_rank(goal))
    far = chess.square_distance(king(board, attacker), goal) > _NEAR_STEPS
    return PawnOnTheSeventh(pawn, _FILES[file] == "bishop", corner, far)
