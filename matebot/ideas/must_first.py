"""What the attacker must do first.

Definition. A move of the defender, lost, while others last less long: what the attacker does next (see `expects`),
where his reply alone mates soonest, and mates soonest after none of the others.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import expects
from matebot.ideas.expects import Expects
from matebot.ideas.shorter import shorter, soonest
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class MustFirst(Expects):
    """What comes next, and has to: a shorter defence would save the attacker the move."""

    kind: ClassVar[str] = "must_first"


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> MustFirst | None:
    """Return what the attacker must do after a lost defence before he gets on, None where he need not."""
    found = expects.seen(before, move, after, attacker, truth)
    if found is None or soonest(after, truth) != {found.reply}:
        return None
    others = shorter(before, move, truth)
    if not others or any(found.reply in soonest(there, truth) for _, there in others):
        return None
    return MustFirst(found.reply, found.does, found.man, found.left)
