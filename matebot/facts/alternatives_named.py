"""The other moves there were, by their names."""

from __future__ import annotations

from typing import Self

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class AlternativesNamed:
    """Moves beside a move.

    Attributes
    ----------
    keepers, others_as_good : the moves that keep the best outcome, the other moves as good as the best (SAN)
    """

    keepers: tuple[str, ...]
    others_as_good: tuple[str, ...]

    @classmethod
    def of(cls, played: Played) -> Self:
        """Return the names of the moves there were beside one."""
        equals = played.standard.equals.items()
        return cls(played.standard.keepers, tuple(san for san, equal in equals if equal != played.move))
