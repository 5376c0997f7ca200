"""Away from the edge.

Definition. A step of the defending king to a square farther from the edge of the board than the one it leaves; or,
where no legal step leads farther from the edge, one that keeps its distance while another legal step comes nearer to
the edge (*stays out*). It is the *only* one when no other legal step of the king leads as far from the edge.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import from_edge, is_king_step
from matebot.records import dataclass


@dataclass(frozen=True)
class ToCentre(Idea):
    """The king keeps away from the edge.

    Attributes
    ----------
    before, after : steps from the edge
    stays_out : whether it only keeps its distance
    only : whether no other step leads as far from the edge
    """

    kind: ClassVar[str] = "to_centre"
    before: int
    after: int
    stays_out: bool
    only: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> ToCentre | None:
    """Return how a step of the defending king keeps it away from the edge, None where it does not."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    was, now = from_edge(move.from_square), from_edge(move.to_square)
    if now < was:
        return None
    others = [from_edge(m.to_square) for m in before.generate_legal_moves(before.kings) if m != move]
    only = now > max(others, default=-1)
    if now > was:
        return ToCentre(was, now, False, only)
    return ToCentre(was, now, True, only) if min([now, *others]) < was and max([now, *others]) == was else None
