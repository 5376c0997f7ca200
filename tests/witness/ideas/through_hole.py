"""A king at a hole, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.holes import holes
from tests.witness.ideas.king_range import shut


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn == attacker or before.piece_type_at(move.from_square) != chess.KING:
        return None
    was = holes(before, attacker)
    if move.to_square in was:
        far, closed = chess.square_distance, shut(after, attacker)
        onward = [s for s in chess.SQUARES if far(s, move.to_square) == 1 < far(s, move.from_square)]
        if not [s for s in onward if s not in closed and after.piece_at(s) is None]:
            return None
        return {"kind": "through_hole", "hole": chess.square_name(move.to_square), "reached": True}
    now = holes(after, attacker)
    for hole in sorted(was):
        near = chess.square_distance(hole, move.to_square) <= 1 < chess.square_distance(hole, move.from_square)
        if hole in now and near:
            return {"kind": "through_hole", "hole": chess.square_name(hole), "reached": False}
    return None
