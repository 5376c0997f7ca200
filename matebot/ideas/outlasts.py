"""What the best reply to the next best defence does, and no reply to a longer one.

Definition. A defence that lasts as long as any, while others last less long. Of the best of these the first by its name
in long algebraic form; the reply to it and what that does, as in `counters`, where it tells that move from all that
last longest.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import critical
from matebot.ideas.counters import Does, tells, told
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.shorter import as_long
from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Outlasts(Idea):
    """The next best defence is met by something that the longest ones are not.

    Attributes
    ----------
    other, reply : the next best defence, and the reply to it
    does, squares, man : what the reply does, as in `Counters`
    """

    kind: ClassVar[str] = "outlasts"
    other: chess.Move
    reply: chess.Move
    does: Does
    squares: Squares
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Outlasts | None:
    """Return what the next best defence is met by, None where that tells it from no longer one."""
    found = critical.seen(before, move, after, attacker, truth)
    if found is None:
        return None
    there = after_move(before, found.next_best)
    best = told(there, attacker, truth)
    longest = [after, *(board for _, board in as_long(before, move, truth))]
    if best is None or not tells(there, best, longest, attacker, truth):
        return None
    return Outlasts(found.next_best, best[0], *best[1])
