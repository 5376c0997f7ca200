"""A step inside the cage, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    now = cage(after, attacker)
    if king_of(before, not attacker) == king_of(after, not attacker):
        return None
    if before.turn == attacker or cage(before, attacker) is None or now is None:
        return None
    return {"kind": "stays_caged", "size": len(now)}
