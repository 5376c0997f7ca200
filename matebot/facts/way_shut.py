"""The way to the centre that a move shuts to the defending king."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, names
from matebot.facts.played import Played
from matebot.ideas.squares import from_edge, king_steps
from matebot.records import dataclass

_STEPS_OFF = 2


@dataclass(frozen=True, slots=True)
class WayShut:
    """Squares two steps from the defending king, nearer to the centre, that the attacker has come to guard."""

    way_shut: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> WayShut:
        """Return the squares shut by a move of the attacker."""
        attacker, before, after = played.attacker, played.before, played.after
        if attacker is None or not played.by_attacker:
            return cls()
        king = king_square(after, not attacker)
        return cls(
            names(
                square
                for square in chess.SQUARES
                if king_steps(square, king) == _STEPS_OFF
                and from_edge(square) > from_edge(king)
                and after.color_at(square) != attacker
                and after.is_attacked_by(attacker, square)
                and not before.is_attacked_by(attacker, square)
            )
        )
