"""Away from the attacking king, said again by trying every step."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    king, rival = king_of(before, not attacker), king_of(before, attacker)
    if before.turn == attacker or move.from_square != king:
        return None
    apart = {step.to_square: chess.square_distance(step.to_square, rival) for step in before.legal_moves
             if step.from_square == king}  # fmt: skip
    was, now = chess.square_distance(king, rival), apart[move.to_square]
    if now < was or len(apart) == 1 or [steps for steps in apart.values() if steps >= now] != [now]:
        return None
    return {"kind": "from_king", "before": was, "after": now}
