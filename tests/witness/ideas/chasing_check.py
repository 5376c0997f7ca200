"""The chasing check, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of, king_range, names


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = king_range(before, attacker), king_range(after, attacker)
    if before.turn != attacker or not after.is_check() or after.is_checkmate() or len(now) <= len(was):
        return None
    king = king_of(after, not attacker)
    out = {m.to_square for m in after.legal_moves if m.from_square == king and m.to_square not in was}
    return {"kind": "chasing_check", "size_before": len(was), "size_after": len(now), "way_out": names(out)}
