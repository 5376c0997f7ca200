"""What comes after a move: a best reply and the best move after it."""

from __future__ import annotations

import chess

from matebot.facts.board import lone_pawn
from matebot.facts.played import Played
from matebot.facts.standard import as_good, comparable
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
        moves, board = played.line, played.after.copy(stack=False)
        if not moves:
            return cls()
        replies = played.judged.after(played.move).ranking
        only = sum(item.outcome == replies[0].outcome for item in replies) == 1
        best = {item.move.to_square for item in replies if as_good(item, replies[0])}
        goals = tuple(map(chess.square_name, sorted(best))) if comparable(replies) else ()
        stops = _stops_pawn(played, moves[0])
        return cls(tuple(board.san_and_push(move) for move in moves), only, goals, stops)


def _stops_pawn(played: Played, reply: chess.Move) -> bool:
    pawn = None if played.attacker is None else lone_pawn(played.after, played.attacker)
    if pawn is None or not played.by_attacker or played.after.kings & chess.BB_SQUARES[reply.from_square]:
        return False
    way, then = pawn_way(pawn, bool(played.attacker)), played.after.copy(stack=False)
    then.push(reply)
    was, now = ((board, square) for board, square in ((played.after, reply.from_square), (then, reply.to_square)))
    held = [way & (board.attacks_mask(square) | chess.BB_SQUARES[square]) for board, square in (was, now)]
    return not held[0] and bool(held[1])
