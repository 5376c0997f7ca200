"""The attacker's men that a move saves from the defending king."""

from __future__ import annotations

from matebot.facts.board import in_danger, kinds
from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Rescue:
    """Kinds of the attacker's men the defending king could have taken, to move before, and cannot now."""

    rescued: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> Rescue:
        """Return the men saved by a move of the attacker."""
        if played.attacker is None or not played.by_attacker:
            return cls()
        before, now = in_danger(played.before, played.attacker), in_danger(played.after, played.attacker)
        still = {played.move.from_square} if played.move.to_square in now else set()
        return cls(kinds(played.before, before - now - still))
