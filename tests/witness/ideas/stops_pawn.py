"""Stopping the pawn with bishop and knight, said again by asking python-chess who attacks a square."""

from __future__ import annotations

import chess


def _men(board: chess.Board, side: bool) -> str:
    return "".join(sorted(piece.symbol().lower() for piece in board.piece_map().values() if piece.color == side))


def _guards(board: chess.Board, side: bool, square: int) -> set[int]:
    """Return the men of a side that attack a square, with the other side's king off the board."""
    bare = board.copy()
    king = board.king(not side)
    assert king is not None
    if king != square:
        bare.remove_piece_at(king)
    return set(bare.attackers(side, square))


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    mine = _men(after, attacker)
    if before.turn != attacker or mine not in ("bkn", "kq", "kr") or _men(after, not attacker) != "kp":
        return None
    if _men(before, not attacker) != "kp":
        return None
    (pawn,) = after.pieces(chess.PAWN, not attacker)
    square, kind = pawn + (-8 if attacker else 8), before.piece_type_at(move.from_square)
    assert kind is not None
    if mine != "bkn" and (kind == chess.KING or square // 8 not in (0, 7)):
        return None
    how, there = None, after.piece_at(square)
    if move.to_square == square:
        how = "blocks"
    elif move.to_square in _guards(after, attacker, square) and not _guards(before, attacker, square):
        if there is None:
            how = "guards"
        elif there.color == attacker and there.piece_type != chess.KING:
            how = "backs"
    if how is None:
        return None
    found = {"kind": "stops_pawn", "how": how, "man": chess.piece_name(kind)}
    return {**found, "pawn": chess.square_name(pawn), "square": chess.square_name(square)}
