"""A man guarded in time, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import beside, king_of, shut, without_king


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    moved = before.piece_type_at(move.from_square)
    if before.turn != attacker or moved == chess.KING or before.is_capture(move):
        return None
    king, over = king_of(before, not attacker), without_king(after, attacker).attacks(move.to_square)
    free = [s for s in beside(king) if s not in shut(before, attacker) and before.color_at(s) != (not attacker)]
    for square in chess.SQUARES:
        man = after.piece_at(square)
        if man is None or man.color != attacker or man.piece_type == chess.KING or square == move.to_square:
            continue
        if (
            square in over
            and square not in shut(before, attacker)
            and king not in beside(square)
            and {*free} & {*beside(square)}
        ):
            return {"kind": "guards_man", "man": chess.piece_name(man.piece_type), "square": chess.square_name(square)}
    return None
