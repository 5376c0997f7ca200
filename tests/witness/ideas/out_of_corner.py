"""Chasing out of the corner, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import mating_corners
from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or not after.is_check() or after.is_checkmate():
        return None
    king = king_of(before, not attacker)
    for name in sorted(mating_corners(before, attacker), key=chess.parse_square):
        corner = chess.parse_square(name)
        here = chess.square_distance(king, corner)
        steps = [m.from_square == king and chess.square_distance(m.to_square, corner) > here for m in after.legal_moves]
        if here < 2 and all(steps):
            return {"kind": "out_of_corner", "corner": name}
    return None
