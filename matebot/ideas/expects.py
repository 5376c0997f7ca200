"""What the attacker does next.

Definition. A move of the defender, lost: the move that is taught against it, and the most telling thing that move does,
as in `prepares`; where it does none of these it must be a step of a pawn.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.prepares import Next, deed
from matebot.ideas.squares import taken_by
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Expects(Idea):
    """What comes next.

    Attributes
    ----------
    reply, does : the attacker's move, and what it does; None for a step of a pawn
    man : kind of the man it captures or makes, None without
    """

    kind: ClassVar[str] = "expects"
    reply: chess.Move
    does: Next | None
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Expects | None:
    """Return what the attacker does after a lost defence, None where it is nothing that has a name."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    reply = truth.answer(after)
    does = None if reply is None else deed(after, reply, attacker)
    if reply is None or (does is None and after.piece_type_at(reply.from_square) != chess.PAWN):
        return None
    victim = taken_by(after, reply)
    return Expects(reply, does, reply.promotion or victim)
