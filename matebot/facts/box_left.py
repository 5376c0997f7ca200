"""The box a lone queen or rook leaves the king."""

from __future__ import annotations

from matebot.facts.board import king_square
from matebot.facts.played import Played
from matebot.ideas.squares import lone_heavy, men_of
from matebot.method.squares import box_squares
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class BoxLeft:
    """The box.

    Attributes
    ----------
    box_after : squares of the box a lone queen or rook leaves the defending king; None without such a man
    """

    box_after: int | None

    @classmethod
    def of(cls, played: Played) -> BoxLeft:
        """Return the box after a move."""
        after, attacker = played.after, played.attacker
        piece = None if attacker is None else lone_heavy(men_of(after), attacker)
        return cls(None if piece is None else box_squares(piece, king_square(after, not attacker)))
