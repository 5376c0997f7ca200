"""What comes after a move: a best reply and the best move after it."""

from __future__ import annotations

import chess

from matebot.facts.board import lone_pawn
from matebot.facts.played import Played
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import pawn_way
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class LookedAhead:
    """The moves after a move.

    Attributes
    ----------
    ahead : the best reply and the best move after it (SAN), as far as there are any; empty when not asked for
    only_holder : whether the best reply is the only one that keeps the outcome
    goals : the squares to which the replies as good as the best go
    stops_pawn : whether the best reply brings a man, not the king, to guard or block the way of the only pawn
    """

    ahead: tuple[str, ...] = ()
    only_holder: bool = False
    goals: tuple[str, ...] = ()
    stops_pawn: bool = False

    @classmethod
    def of(cls, played: Played) -> LookedAhead:
        """Look ahead of a move."""
        moves = played.line
        if not moves:
            return cls()
        there = played.judged.after(played.move)
        only = there.referee.count_keeping() == 1
        goals = tuple(map(chess.square_name, sorted({move.to_square for move in there.best})))
        stops = _stops_pawn(played, moves[0])
        names = (judged.name(move) for judged, move in zip((there, there.after(moves[0])), moves, strict=False))
        return cls(tuple(names), only, goals, stops)


def _stops_pawn(played: Played, reply: chess.Move) -> bool:
    pawn = None if played.attacker is None else lone_pawn(played.after, played.attacker)
    if pawn is None or not played.by_attacker or played.after.kings & chess.BB_SQUARES[reply.from_square]:
        return False
    way, then = pawn_way(pawn, bool(played.attacker)), quick(played.after)
    then.push(reply)
    was, now = ((board, square) for board, square in ((played.after, reply.from_square), (then, reply.to_square)))
    held = [way & (board.attacks_mask(square) | chess.BB_SQUARES[square]) for board, square in (was, now)]
    return not held[0] and bool(held[1])
