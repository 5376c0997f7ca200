"""An attacked man saved, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import beside, king_of, shut


def could_take(board: chess.Board, attacker: bool) -> list[int]:
    near, closed = beside(king_of(board, not attacker)), shut(board, attacker)
    mine = [s for s in near if board.color_at(s) == attacker and board.piece_type_at(s) != chess.KING]
    return sorted(s for s in mine if s not in closed)


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker:
        return None
    for square in could_take(before, attacker):
        moved = square == move.from_square
        there = move.to_square if moved else square
        if there not in could_take(after, attacker):
            man = chess.piece_name(before.piece_type_at(square) or 0)
            return {"kind": "saved", "man": man, "square": chess.square_name(square), "moved": moved}
    return None
