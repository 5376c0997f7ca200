"""Two bishops side by side."""

from __future__ import annotations

import chess

from matebot.facts.board import men
from matebot.facts.played import Played
from matebot.ideas.squares import king_steps
from matebot.records import dataclass

_ONE_FILE, _ONE_RANK = 1, 8


@dataclass(frozen=True, slots=True)
class Bishops:
    """Whether two bishops of the attacker stand side by side on a rank or file, and so hold neighbouring diagonals."""

    abreast: bool = False

    @classmethod
    def of(cls, played: Played) -> Bishops:
        """Return how the attacker's bishops stand after a move."""
        found = [] if played.attacker is None else men(played.after, chess.BISHOP, played.attacker)
        if len(found) != 2:
            return cls()
        return cls(abs(found[0] - found[1]) in (_ONE_FILE, _ONE_RANK) and king_steps(*found) == 1)
