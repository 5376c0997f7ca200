"""The critical test.

Definition. A move of the defender, lost, that lasts as long as any, while another lasts less long: by how many moves
(of the attacker) longer than the best of those that last less long, and how many others last as long. It is the
critical test when it lasts longer than every other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.truth import Truth


@dataclass(frozen=True)
class Critical(Idea):
    """A defence that lasts longest.

    Attributes
    ----------
    alone : whether it lasts longer than every other move
    longer_by : by how many moves, against the best that is shorter
    as_long : how many other moves last as long
    """

    kind: ClassVar[str] = "critical"
    alone: bool
    longer_by: int
    as_long: int


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Critical | None:
    """Return whether a move of the defender lasts longest and by how much, None where it does not."""
    mine = truth.mate_plies(after) if before.turn != attacker else None
    if mine is None or truth.outcome(after) <= 0:
        return None
    others = []
    for other in before.generate_legal_moves():
        if other != move:
            board = before.copy(stack=False)
            board.push(other)
            plies = truth.mate_plies(board)
            if plies is None or truth.outcome(board) < 0 or plies > mine:
                return None
            others.append(plies)
    shorter = [plies for plies in others if plies < mine]
    if not shorter:
        return None
    return Critical(len(shorter) == len(others), (mine - max(shorter)) // 2, len(others) - len(shorter))
