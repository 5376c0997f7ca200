"""A lone queen a knight's move from the king: the square from which it drives the king without stalemate."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square
from matebot.facts.played import Played
from matebot.ideas.squares import lone_heavy, men_of
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class LoneQueen:
    """Whether the attacker's lone queen stands a knight's move from the defending king."""

    knights_move_off: bool = False

    @classmethod
    def of(cls, played: Played) -> LoneQueen:
        """Return how the attacker's queen stands after a move."""
        attacker, after = played.attacker, played.after
        piece = None if attacker is None else lone_heavy(men_of(after), attacker)
        if piece is None or attacker is None or after.piece_type_at(piece) != chess.QUEEN:
            return cls()
        return cls(bool(chess.BB_KNIGHT_ATTACKS[piece] & chess.BB_SQUARES[king_square(after, not attacker)]))
