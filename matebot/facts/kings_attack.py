"""The men that the defending king attacks after its move."""

from __future__ import annotations

import chess

from matebot.facts.board import kinds, king_square, names
from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class KingsAttack:
    """What the defending king attacks.

    Attributes
    ----------
    attacked, attacked_kinds : men of the attacker that it attacks after a move of the defence: squares and kinds
    """

    attacked: tuple[str, ...] = ()
    attacked_kinds: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> KingsAttack:
        """Return the men attacked after a move of the defence."""
        if played.attacker is None or played.by_attacker:
            return cls()
        after, king = played.after, king_square(played.after, not played.attacker)
        hit = list(chess.SquareSet(chess.BB_KING_ATTACKS[king] & after.occupied_co[played.attacker]))
        return cls(names(hit), kinds(after, hit))
