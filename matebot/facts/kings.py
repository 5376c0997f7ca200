"""How the two kings stand to each other."""

from __future__ import annotations

import chess

from matebot.facts.played import Played
from matebot.ideas.squares import Men, king_steps, men_of, opposition
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
        return cls(_apart(before), _apart(after), opposition(after) if played.piece == chess.KING else None)


def _apart(men: Men) -> int:
    return king_steps(men.king(chess.WHITE), men.king(chess.BLACK))
