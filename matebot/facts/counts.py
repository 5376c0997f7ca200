"""The counts that may end the game: plies of the fifty-move rule, and how often a position has occurred."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.laws.history import position_key
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Counts:
    """The counts after a move.

    Attributes
    ----------
    clock_plies : plies on the fifty-move count
    occurrence : how often the position has occurred, with this time
    """

    clock_plies: int
    occurrence: int

    @classmethod
    def of(cls, played: Played) -> Counts:
        """Return the counts after a move."""
        clock = played.after.halfmove_clock
        return cls(clock, played.judged.referee.seen[position_key(played.after)] + 1 if clock else 1)
