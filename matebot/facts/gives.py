"""Check, mate and stalemate: what a move gives."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Gives:
    """Whether a move gives check, checkmate or stalemate (FIDE Laws of Chess, articles 3.9, 1.4.1 and 5.2.1)."""

    check: bool
    mate: bool
    stalemate: bool

    @classmethod
    def of(cls, played: Played) -> Gives:
        """Return what a move gives."""
        check, over = played.after.is_check(), not played.replies
        return cls(check, check and over, not check and over)
