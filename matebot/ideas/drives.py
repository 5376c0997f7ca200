"""The king driven.

Definition. A move of the attacker after which there are legal replies and every one is a step of the defending king,
while the man that moved guards a square next to it; the first of these that holds. *To the edge*: the king is not on
the edge of the board, and every reply leads nearer to it, as not every square did that it could go to before the move.
*To a corner*: one corner in which mate can be forced (see `cage`) is nearer to the king than every other such, and
every reply leads nearer to it. *Along the edge*: the king stands on the edge, and so it does after every reply.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.cage import forcing_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, from_edge, guarding, in_order, king_steps, men_of, shut_mask
from matebot.records import dataclass


class Where(Enum):
    """Where the king is driven."""

    TO_EDGE = "to the edge"
    TO_CORNER = "to a corner"
    ALONG_EDGE = "along the edge"


@dataclass(frozen=True)
class Drives(Idea):
    """The defending king has to go where it does not want to.

    Attributes
    ----------
    where : where to
    corner : the corner, None otherwise
    """

    kind: ClassVar[str] = "drives"
    where: Where
    corner: chess.Square | None


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Drives | None:
    """Return where a move of the attacker drives the king, None where it has a choice."""
    if before.turn != attacker:
        return None
    men = men_of(after)
    king = men.king(not attacker)
    if not dict(guarding(men, attacker))[move.to_square] & chess.BB_KING_ATTACKS[king]:
        return None
    replies = list(after.generate_legal_moves())
    if not replies or any(reply.from_square != king for reply in replies):
        return None
    steps = [reply.to_square for reply in replies]
    outwards = from_edge(king) and all(from_edge(step) < from_edge(king) for step in steps)
    if outwards and any(from_edge(step) >= from_edge(king) for step in _could_go(men_of(before), attacker)):
        return Drives(Where.TO_EDGE, None)
    corners = sorted((king_steps(king, c), c) for c in in_order(forcing_mask(men, attacker)))
    if corners and (len(corners) == 1 or corners[0][0] < corners[1][0]):
        away, corner = corners[0]
        if all(king_steps(step, corner) < away for step in steps):
            return Drives(Where.TO_CORNER, corner)
    if not from_edge(king) and not any(from_edge(step) for step in steps):
        return Drives(Where.ALONG_EDGE, None)
    return None


def _could_go(men: Men, attacker: chess.Color) -> tuple[chess.Square, ...]:
    """Return the squares beside the defending king that no man guards and none of its own stands on."""
    beside = chess.BB_KING_ATTACKS[men.king(not attacker)]
    return in_order(beside & ~shut_mask(men, attacker) & ~men.of(not attacker))
