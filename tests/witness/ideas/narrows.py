"""The range narrowed, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_range import king_range


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = len(king_range(before, attacker)), len(king_range(after, attacker))
    bare = sum(piece.color != attacker for piece in before.piece_map().values()) == 1
    if before.turn != attacker or not bare or cage(before, attacker) is not None or now / was > 0.8 + 1e-9:
        return None
    return {"kind": "narrows", "size_before": was, "size_after": now}
