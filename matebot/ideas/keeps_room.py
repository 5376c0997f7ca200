"""Most room kept.

Definition. A step of the defending king after which its range has as many squares as after any of its legal steps, and
after another of them at least a fifth fewer. It is *caged* when there is a cage after the step.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_king_step, is_king_step, men_of, range_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class KeepsRoom(Idea):
    """The king goes where it has most room.

    Attributes
    ----------
    squares, least : squares of its range after the step, and after the step that leaves it fewest
    caged : whether that is a cage
    """

    kind: ClassVar[str] = "keeps_room"
    squares: int
    least: int
    caged: bool


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> KeepsRoom | None:
    """Return how much room a step of the defending king keeps, None where another keeps more or none keeps less."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    mine = range_mask(men_of(after), attacker).bit_count()
    least = mine
    men = men_of(before)
    for step in before.generate_legal_moves(before.kings):
        if step != move:
            room = range_mask(after_king_step(men, step), attacker).bit_count()
            if room > mine:
                return None
            least = min(least, room)
    return KeepsRoom(mine, least, bool(cage_mask(men_of(after), attacker))) if 5 * least <= 4 * mine else None
