"""Men attacked by the king, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import names, shut


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn == attacker or before.piece_type_at(move.from_square) != chess.KING:
        return None
    hit = []
    for square in chess.SQUARES:
        if after.color_at(square) == attacker and after.piece_type_at(square) != chess.KING:
            near = chess.square_distance(square, move.to_square) == 1
            if near and chess.square_distance(square, move.from_square) != 1:
                hit.append(square)
    if not hit:
        return None
    kinds = [chess.piece_name(after.piece_type_at(s) or 0) for s in hit]
    loose = [s for s in hit if s not in shut(after, attacker)]
    tying = [s for s in hit if [after.piece_type_at(m) for m in after.attackers(attacker, s)] == [chess.KING]]
    return {"kind": "attacks_man", "squares": names(hit), "men": kinds, "loose": names(loose), "tying": names(tying)}
