"""A king that keeps away from the edge, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_nearer import edge


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn == attacker or before.piece_type_at(move.from_square) != chess.KING:
        return None
    was, now = edge(move.from_square), edge(move.to_square)
    others = [edge(m.to_square) for m in before.legal_moves if m.from_square == move.from_square]
    stays = now == was and not [e for e in others if e > was] and bool([e for e in others if e < was])
    only = [e for e in others if e >= now] == [now]
    told = {"kind": "to_centre", "before": was, "after": now, "stays_out": stays, "only": only}
    return told if now > was or stays else None
