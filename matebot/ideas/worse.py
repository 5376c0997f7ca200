"""What the next best defence runs into.

Definition. A defence that lasts longer than every other. What the best of the others ends in (see `ends_in`), by the
attacker's second move at the latest, where the defence itself does not end in the same as soon.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import critical, ends_in
from matebot.ideas.idea import Idea
from matebot.ideas.prepares import Next
from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth
from matebot.records import dataclass

#: Plies of two moves of the attacker.
_MOST = 3


@dataclass(frozen=True)
class Worse(Idea):
    """What another defence runs into.

    Attributes
    ----------
    other : the next best defence
    line, does, man : what it ends in, as in `EndsIn`
    """

    kind: ClassVar[str] = "worse"
    other: chess.Move
    line: tuple[chess.Move, ...]
    does: Next
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Worse | None:
    """Return what the next best defence runs into, None where that is nothing so soon, or no worse."""
    found = critical.seen(before, move, after, attacker, truth)
    if found is None or not found.alone:
        return None
    there = after_move(before, found.next_best)
    its = ends_in.seen(before, found.next_best, there, attacker, truth)
    if its is None or len(its.line) > _MOST:
        return None
    mine = ends_in.seen(before, move, after, attacker, truth)
    if mine is not None and mine.does is its.does and mine.man == its.man and len(mine.line) <= _MOST:
        return None
    return Worse(found.next_best, its.line, its.does, its.man)
