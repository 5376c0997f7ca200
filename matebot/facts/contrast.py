"""What a move lets the defending king do that the best move would not: the reason why it is worse."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from matebot.facts import sights


@dataclass(frozen=True, slots=True)
class Contrast:
    """A move of the attacker beside the best one, each followed by the same step of the defending king.

    Attributes
    ----------
    prevented : whether the best move would not have allowed the step
    attacked : kinds of men that the king then attacks, unguarded, and did not attack before
    open : squares the king then has, and would not have after the best move
    """

    prevented: bool = False
    attacked: tuple[str, ...] = ()
    open: frozenset[chess.Square] = frozenset()


def contrast(board: chess.Board, move: chess.Move, best: chess.Move, reply: chess.Move) -> Contrast:
    """Compare a move with the best one by a reply to it; no difference unless the reply is a step of the king."""
    attacker = board.turn
    played, wanted = board.copy(stack=False), board.copy(stack=False)
    played.push(move)
    wanted.push(best)
    if played.piece_type_at(reply.from_square) != chess.KING:
        return Contrast()
    prevented = reply not in wanted.legal_moves
    danger = sights.in_danger(played, attacker)
    played.push(reply)
    hit = sights.in_danger(played, attacker) - danger
    kinds = tuple(chess.piece_name(played.piece_type_at(square) or chess.PAWN) for square in sorted(hit))
    if prevented:
        return Contrast(True, kinds)
    wanted.push(reply)
    return Contrast(False, kinds, sights.flights(played, not attacker) - sights.flights(wanted, not attacker))
