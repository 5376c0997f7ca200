"""What comes after a move: a best reply and the best move after it."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from matebot.facts.played import Played


@dataclass(frozen=True, slots=True)
class LookedAhead:
    """The moves after a move.

    Attributes
    ----------
    ahead : the best reply and the best move after it (SAN), as far as there are any; empty when not asked for
    only_holder : whether the best reply is the only one that keeps the outcome
    as_good_at_once : whether the second move of `ahead` was as good instead of the move
    """

    ahead: tuple[str, ...] = ()
    only_holder: bool = False
    as_good_at_once: bool = False

    @classmethod
    def of(cls, played: Played) -> LookedAhead:
        """Look ahead of a move."""
        moves, board = played.line, played.after.copy(stack=False)
        if not moves:
            return cls()
        replies = played.judged.after(played.move).ranking
        only = sum(item.outcome == replies[0].outcome for item in replies) == 1
        instead = set(played.standard.equals.values()) - {played.move}
        at_once = len(moves) == 2 and _at_once(played.move, moves[1]) in instead
        return cls(tuple(board.san_and_push(move) for move in moves), only, at_once)


def _at_once(move: chess.Move, later: chess.Move) -> chess.Move:
    """Return the move that takes a man at once to where it goes by the later of two moves of its side."""
    source = move.from_square if later.from_square == move.to_square else later.from_square
    return chess.Move(source, later.to_square, later.promotion)
