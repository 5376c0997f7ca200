"""Where the positions before and after a move stand on the ladders of their endings."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.method.standing import Standing
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Places:
    """Places on the ladders.

    Attributes
    ----------
    method_moves : moves to mate by the method, this one counted, where the style is the method and the move follows it
    standings_before, standings_after : the places in each ladder; empty when the attacker does not win
    """

    method_moves: int | None
    standings_before: tuple[Standing, ...]
    standings_after: tuple[Standing, ...]

    @classmethod
    def of(cls, played: Played) -> Places:
        """Return the places before and after a move."""
        return cls(played.method_moves, played.judged.standings, played.standings)


def falls_back(before: tuple[Standing, ...], after: tuple[Standing, ...]) -> bool:
    """Whether of two positions the later one is at an earlier stage of the ladder that is followed."""
    return any(b.ladder == a.ladder and a.stage < b.stage for b, a in zip(before[:1], after[:1], strict=False))
