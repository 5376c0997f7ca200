"""The box a lone queen or rook leaves the king."""

from __future__ import annotations

import chess

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
    box_before, box_after : squares of the box a lone queen or rook leaves the defending king; None without such a man
    """

    box_before: int | None
    box_after: int | None

    @classmethod
    def of(cls, played: Played) -> BoxLeft:
        """Return the box before and after a move."""
        return cls(_box(played.before, played.attacker), _box(played.after, played.attacker))


def _box(board: chess.Board, attacker: chess.Color | None) -> int | None:
    piece = None if attacker is None else lone_heavy(men_of(board), attacker)
    return None if piece is None or attacker is None else box_squares(piece, king_square(board, not attacker))
