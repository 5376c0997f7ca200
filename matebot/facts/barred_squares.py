"""The squares a defending king bars to the other by its step."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, names
from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class BarredSquares:
    """Squares next to the attacking king that the defending king has come to guard by its move."""

    barred: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> BarredSquares:
        """Return the squares barred by a step of the defending king."""
        if played.attacker is None or played.by_attacker or played.piece != chess.KING:
            return cls()
        attack = chess.BB_KING_ATTACKS
        near = attack[king_square(played.after, played.attacker)] & attack[played.move.to_square]
        return cls(names(chess.SquareSet(near & ~attack[played.move.from_square])))
