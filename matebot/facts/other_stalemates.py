"""The other moves that would have been stalemate."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass
from matebot.terms import Cause


@dataclass(frozen=True, slots=True)
class OtherStalemates:
    """Other legal moves (SAN) that would have been stalemate."""

    stalemating: tuple[str, ...]

    @classmethod
    def of(cls, played: Played) -> OtherStalemates:
        """Return the moves beside one that are stalemate."""
        ranking = played.standard.ranking
        found = [item.move for item in ranking if item.cause == Cause.STALEMATE and item.move != played.move]
        return cls(tuple(sorted(map(played.judged.name, found))))
