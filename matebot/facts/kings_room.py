"""The defending king and the squares it can go to."""

from __future__ import annotations

import chess

from matebot.facts.board import flights, king_square, names
from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class KingsRoom:
    """The room the defending king has.

    Attributes
    ----------
    king : its square after the move, "" where neither side is the attacker
    squares_taken, squares_given : squares it could, or could not, go to before and not, or now, after a move of the
        attacker
    flights : squares it can go to after the move
    """

    king: str = ""
    squares_taken: tuple[str, ...] = ()
    squares_given: tuple[str, ...] = ()
    flights: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> KingsRoom:
        """Return the room after a move."""
        defender = played.defender
        if defender is None:
            return cls()
        king, now = chess.square_name(king_square(played.after, defender)), flights(played.after, defender)
        before = flights(played.before, defender) if played.by_attacker else now
        return cls(king, names(before - now), names(now - before), names(now))
