"""A man let go, said again in the plainest way; the move taught is asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn != attacker or before.is_capture(move) or after.is_game_over() or told.outcome(after) != -1:
        return None
    takes = []
    for reply in after.legal_moves:
        if after.piece_at(reply.to_square) is None:
            continue
        there = after.copy()
        there.push(reply)
        if reply.to_square not in [back.to_square for back in there.legal_moves]:
            takes.append(reply)
    if not takes:
        return None
    square = min(reply.to_square for reply in takes)
    capture = min((r for r in after.legal_moves if r.to_square == square), key=chess.Move.uci)
    then = after.copy()
    then.push(capture)
    answer = told.answer(then)
    if answer is None:
        return None
    return {
        "kind": "lets_go",
        "square": chess.square_name(square),
        "man": chess.piece_name(after.piece_type_at(square) or 0),
        "moved": square == move.to_square,
        "capture": capture.uci(),
        "answer": answer.uci(),
    }
