"""The pawn that runs, said again by counting ranks and letting king and pawn race."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    pawn = move.to_square
    if before.turn != attacker or after.piece_at(pawn) != chess.Piece(chess.PAWN, attacker):
        return None
    ahead = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s > pawn if attacker else s < pawn)]
    theirs = [s for s in chess.SQUARES if after.color_at(s) == (not attacker)]
    if any(after.piece_at(s) for s in ahead) or len(theirs) > 1:
        return None
    goal = ahead[-1] if attacker else ahead[0]
    king = king_of(after, not attacker)
    steps, pushes = chess.square_distance(king, goal), len(ahead)
    # The king moves first, and must stand next to the promotion square once the pawn is there.
    left = steps - 1
    for _ in range(pushes):
        left -= 1
    if left < 1:
        return None
    return {"kind": "pawn_runs", "goal": chess.square_name(goal), "moves": pushes, "king_steps": steps}
