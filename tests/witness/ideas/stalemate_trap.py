"""The stalemate trap, said again in the plainest way."""

from __future__ import annotations

import chess


def stalemating(board: chess.Board) -> list[str]:
    found = []
    for move in board.legal_moves:
        after = board.copy()
        after.push(move)
        if after.is_stalemate():
            found.append(move.uci())
    return sorted(found)


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if after.is_stalemate():
        return {"kind": "stalemate_trap", "deed": "gives", "moves": []}
    own = before.turn == attacker
    moves = stalemating(before) if own else stalemating(after)
    return {"kind": "stalemate_trap", "deed": "avoids" if own else "sets", "moves": moves} if moves else None
