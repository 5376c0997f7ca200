"""Most room kept, said again by trying every step."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_range import king_of, king_range


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    king = king_of(before, not attacker)
    if before.turn == attacker or move.from_square != king:
        return None
    rooms = {}
    for step in before.legal_moves:
        if step.from_square == king:
            then = before.copy()
            then.push(step)
            rooms[step] = len(king_range(then, attacker))
    most, least = max(rooms.values()), min(rooms.values())
    if rooms[move] != most or least / most > 0.8 + 1e-9:
        return None
    return {"kind": "keeps_room", "squares": most, "least": least, "caged": cage(after, attacker) is not None}
