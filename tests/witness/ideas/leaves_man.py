"""A man left that could be taken, said again."""

from __future__ import annotations

import chess

from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn != attacker or before.is_capture(move) or told.outcome(after) != -1:
        return None
    free: dict[int, bool] = {}
    rows = []
    for capture in before.legal_moves:
        if before.piece_at(capture.to_square) is None:
            continue
        there = before.copy()
        there.push(capture)
        kept = any(back.to_square == capture.to_square for back in there.legal_moves)
        free[capture.to_square] = free.get(capture.to_square, False) or not kept
        if there.is_checkmate() or (any(there.legal_moves) and told.outcome(there) == -1):
            rows.append((told.mate_plies(there) or 0, capture))
    rows = [row for row in rows if free[row[1].to_square]]
    if not rows:
        return None
    plies, capture = min(rows, key=lambda row: (row[0], row[1].uci()))
    later = (plies - (told.mate_plies(after) or 0)) // 2
    if later < 0:
        return None
    doomed = all(falls(after, reply, capture.to_square) for reply in after.legal_moves)
    return {"kind": "leaves_man", "capture": capture.uci(), "later": later, "doomed": doomed}


def falls(after: chess.Board, reply: chess.Move, man: int) -> bool:
    """Whether the man, wherever it has gone, is taken after a reply and nothing takes back."""
    there = after.copy()
    there.push(reply)
    at = reply.to_square if reply.from_square == man else man
    for take in there.legal_moves:
        last = there.copy()
        last.push(take)
        if take.to_square == at and not any(back.to_square == at for back in last.legal_moves):
            return not reply.promotion
    return False
