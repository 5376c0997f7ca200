"""The wall of bishop and knight: from squares of one colour they guard squares of both."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, men, names
from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class Wall:
    """The wall of bishop and knight.

    Attributes
    ----------
    wall_bishop, wall_knight : squares next to the defending king guarded by each from squares of one colour; both are
        empty unless both guard some
    """

    wall_bishop: tuple[str, ...] = ()
    wall_knight: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> Wall:
        """Return the wall after a move."""
        attacker, after = played.attacker, played.after
        if attacker is None:
            return cls()
        bishops, knights = men(after, chess.BISHOP, attacker), men(after, chess.KNIGHT, attacker)
        if len(bishops) != 1 or len(knights) != 1 or _dark(bishops[0]) != _dark(knights[0]):
            return cls()
        near = chess.BB_KING_ATTACKS[king_square(after, not attacker)]
        by_bishop, by_knight = (names(after.attacks(man) & near) for man in (bishops[0], knights[0]))
        return cls(by_bishop, by_knight) if by_bishop and by_knight else cls()


def _dark(square: chess.Square) -> bool:
    return bool(chess.BB_SQUARES[square] & chess.BB_DARK_SQUARES)
