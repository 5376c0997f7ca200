"""How the two kings stand to each other."""

from __future__ import annotations

import chess

from matebot.facts.played import Played
from matebot.ideas.squares import kings_apart, men_of, opposition
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Kings:
    """The kings.

    Attributes
    ----------
    kings_before, kings_after : king moves between them
    opposition : kind of opposition that the side that moved has taken with its king
    """

    kings_before: int
    kings_after: int
    opposition: str | None

    @classmethod
    def of(cls, played: Played) -> Kings:
        """Return how the kings stand before and after a move."""
        before, after = men_of(played.before), men_of(played.after)
        return cls(kings_apart(before), kings_apart(after), opposition(after) if played.piece == chess.KING else None)
