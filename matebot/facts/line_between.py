"""The line of a lone queen or rook that cuts the king off."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.ideas.cut_off import cut_off
from matebot.ideas.squares import men_of
from matebot.records import dataclass

_RANK_NAMES = ("1st", "2nd", "3rd", "4th", "5th", "6th", "7th", "8th")


@dataclass(frozen=True, slots=True)
class LineBetween:
    """The line of a lone queen or rook that cuts a king off after the move, such as "5th rank" or "e-file"."""

    cut_off: str | None

    @classmethod
    def of(cls, played: Played) -> LineBetween:
        """Return the line that cuts the king off after a move; see `ideas.cut_off`."""
        found = None if played.attacker is None else cut_off(men_of(played.after), played.attacker)
        if found is None:
            return cls(None)
        line, name = found.split()
        return cls(f"{_RANK_NAMES[int(name) - 1]} rank" if line == "rank" else f"{name}-file")
