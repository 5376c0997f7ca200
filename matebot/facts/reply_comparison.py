"""What a move lets the defending king do that the best move would not: the reason why it is worse."""

from __future__ import annotations

import chess

from matebot.facts.board import flights, names
from matebot.facts.played import Played
from matebot.ideas.squares import after_move
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class ReplyComparison:
    """A move of the attacker beside the best one, each followed by the same step of the defending king.

    Nothing where the move loses nothing, or the best reply is no step of the king, or not possible after the best move.

    Attributes
    ----------
    left_open : squares the king then has, and would not have after the best move
    """

    left_open: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> ReplyComparison:
        """Compare a move with the best one by the best reply to it."""
        moves = played.line if played.better is not None and played.by_attacker else ()
        if not moves or played.better is None or played.after.piece_type_at(moves[0].from_square) != chess.KING:
            return cls()
        defender, reply = played.after.turn, moves[0]
        wanted = after_move(played.before, played.better.move)
        if reply not in wanted.legal_moves:
            return cls()
        return cls(
            names(flights(after_move(played.after, reply), defender) - flights(after_move(wanted, reply), defender))
        )
