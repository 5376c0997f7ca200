"""A defence that loses sooner.

Definition. A move of the defender, lost, while another legal move, lost as well, lasts at least one move (of the
attacker) longer, and none saves him: by how many moves the longest lasts longer, and the first of the longest by its
squares' names.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Sooner(Idea):
    """A defence shorter than another.

    Attributes
    ----------
    by : by how many moves
    better : a move that lasts longest
    """

    kind: ClassVar[str] = "sooner"
    by: int
    better: chess.Move


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Sooner | None:
    """Return by how much a move of the defender loses sooner than another, None where it does not."""
    mine = truth.mate_plies(after) if before.turn != attacker else None
    if mine is None or truth.outcome(after) <= 0 or truth.outcome(before) >= 0:
        return None
    better, longest = move, mine
    for other, (_, plies) in sorted(truth.after(before).items(), key=lambda item: item[0].uci()):
        if plies is not None and plies > longest:
            better, longest = other, plies
    by = (longest - mine) // 2
    return Sooner(by, better) if by else None
