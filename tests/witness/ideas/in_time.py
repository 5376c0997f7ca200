"""A pawn promoted in time, said again: what the other side would do about it, were it on move."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import then
from tests.witness.ideas.pitfall import is_free


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or move.promotion != chess.QUEEN or before.is_check():
        return None
    rows = []
    passed = before.copy()
    passed.push(chess.Move.null())
    for other in passed.legal_moves:
        there = passed.copy()
        there.push(other)
        if move in there.legal_moves:
            there.push(move)
            stops = any(back.to_square == move.to_square for back in there.legal_moves)
        else:
            stops = not there.is_check()
        if other.to_square != move.from_square:
            stops = stops and not is_free(then(passed, other), other.to_square)
        if stops:
            rows.append((not passed.is_capture(other), before.piece_type_at(other.from_square) or 0, other.uci()))
    return {"kind": "in_time", "stop": min(rows)[-1]} if rows else None
