"""Mate, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if not after.is_checkmate():
        return None
    king = chess.square_name(king_of(after, after.turn))
    man = chess.piece_name(after.piece_type_at(move.to_square) or 0)
    corner = king in ("a1", "h1", "a8", "h8")
    return {"kind": "mates", "king": king, "man": man, "in_corner": corner} | {
        "on_edge": edge(chess.parse_square(king)) == 0
    }
