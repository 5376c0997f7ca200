"""A step that ends the checks, said again in the plainest way."""

from __future__ import annotations

import chess


def safe_checks(board: chess.Board) -> list[str]:
    found = []
    for reply in board.legal_moves:
        there = board.copy()
        there.push(reply)
        giving = [s for s in there.checkers() if there.piece_at(s).symbol().upper() in "QR"]  # type: ignore[union-attr]
        if giving and not any(answer.to_square in giving for answer in there.legal_moves):
            found.append(reply.uci())
    return sorted(found)


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    king = before.king(attacker)
    if before.turn != attacker or not before.checkers() or move.from_square != king or before.piece_at(move.to_square):
        return None
    if safe_checks(after):
        return None
    for other in sorted(m.uci() for m in before.legal_moves if m.from_square == king and m != move):
        there = before.copy()
        there.push_uci(other)
        if safe_checks(there):
            return {"kind": "ends_checks", "elsewhere": other, "check": safe_checks(there)[0]}
    return None
