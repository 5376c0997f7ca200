"""An attacked man saved, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import beside, king_of, shut


def could_take(board: chess.Board, attacker: bool) -> list[int]:
    near, closed = beside(king_of(board, not attacker)), shut(board, attacker)
    mine = [s for s in near if board.color_at(s) == attacker and board.piece_type_at(s) != chess.KING]
    return sorted(s for s in mine if s not in closed)


_WORTH = {"P": 1, "N": 3, "B": 3, "R": 5, "Q": 9, "K": 0}


def endangered(board: chess.Board, attacker: bool) -> dict[int, int]:
    """Return the men that could be taken for nothing or by a lesser man, with the kind of that man."""
    found = dict.fromkeys(could_take(board, attacker), chess.KING)
    if board.is_check():
        return found
    turned = board.copy()
    turned.turn, turned.ep_square = not attacker, None
    for take in turned.legal_moves:
        man, prey = turned.piece_at(take.from_square), turned.piece_at(take.to_square)
        if man is None or prey is None or man.piece_type == chess.KING or prey.color != attacker:
            continue
        free = not board.attackers(attacker, take.to_square)
        if free or _WORTH[prey.symbol().upper()] > _WORTH[man.symbol().upper()]:
            found.setdefault(take.to_square, man.piece_type)
    return found


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or move.promotion:
        return None
    danger, still = endangered(before, attacker), endangered(after, attacker)
    for square in sorted(danger):
        moved = square == move.from_square
        if (move.to_square if moved else square) not in still:
            man = chess.piece_name(before.piece_type_at(square) or 0)
            by = chess.piece_name(danger[square])
            return {"kind": "saved", "man": man, "square": chess.square_name(square), "moved": moved, "by": by}
    return None
