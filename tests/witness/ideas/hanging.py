"""Hanging men, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import names


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    found = set()
    for capture in after.legal_moves:
        if after.piece_at(capture.to_square) is None:
            continue
        taken = after.copy()
        taken.push(capture)
        if capture.to_square not in [reply.to_square for reply in taken.legal_moves]:
            found.add(capture.to_square)
    if not found:
        return None
    kinds = [chess.piece_name(after.piece_type_at(s) or 0) for s in sorted(found)]
    return {"kind": "hanging", "squares": names(found), "men": kinds, "moved": move.to_square in found}
