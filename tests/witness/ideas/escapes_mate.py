"""Mate at once avoided, said again by trying every move."""

from __future__ import annotations

import chess

from tests.witness.ideas.waiting_move import Told


def mates(board: chess.Board) -> list[str]:
    found = []
    for move in board.legal_moves:
        then = board.copy()
        then.push(move)
        if then.is_checkmate():
            found.append(move.uci())
    return sorted(found)


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(after) != 1 or mates(after):
        return None
    for other in sorted(before.legal_moves, key=lambda m: m.uci()):
        then = before.copy()
        then.push(other)
        if mates(then):
            return {"kind": "escapes_mate", "other": other.uci(), "mate": mates(then)[0]}
    return None
