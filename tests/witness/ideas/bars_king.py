"""The attacking king barred, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import beside, king_of, names
from tests.witness.ideas.waiting_move import opposition


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn == attacker or before.piece_type_at(move.from_square) != chess.KING:
        return None
    near = beside(king_of(after, attacker))
    taken = [s for s in near if s in beside(move.to_square) and s not in beside(move.from_square)]
    if not taken or not opposition(after):
        return None
    return {"kind": "bars_king", "squares": names(taken), "opposition": opposition(after)}
