"""The best move where a move loses something."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class BestInstead:
    """What is better.

    Attributes
    ----------
    best, best_san : the move recommended instead, in long algebraic form and in SAN; None where the move loses nothing
    """

    best: str | None
    best_san: str | None

    @classmethod
    def of(cls, played: Played) -> BestInstead:
        """Return what is better than a move."""
        best = played.better
        return cls(None, None) if best is None else cls(best.move.uci(), played.judged.name(best.move))
