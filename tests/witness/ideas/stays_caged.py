"""A step inside the cage, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    now = cage(after, attacker)
    if before.turn == attacker or cage(before, attacker) is None or now is None:
        return None
    return {"kind": "stays_caged", "size": len(now)}
