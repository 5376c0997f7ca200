"""The steps of the bridge, said again in the plainest way."""

from __future__ import annotations

import chess


def men(board: chess.Board, side: bool) -> str:
    return "".join(sorted(piece.symbol().lower() for piece in board.piece_map().values() if piece.color == side))


def place(square: int, attacker: bool) -> tuple[int, int]:
    """File and rank, 1 to 8, as the attacker counts them."""
    return square % 8 + 1, square // 8 + 1 if attacker else 8 - square // 8


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or (men(before, attacker), men(before, not attacker)) != ("kpr", "kr"):
        return None
    if (men(after, attacker), men(after, not attacker)) != ("kpr", "kr"):
        return None
    (pawn,), (rook,) = after.pieces(chess.PAWN, attacker), after.pieces(chess.ROOK, attacker)
    (old_rook,) = before.pieces(chess.ROOK, attacker)
    (old_king,), (king,) = before.pieces(chess.KING, attacker), after.pieces(chess.KING, attacker)
    (other,) = before.pieces(chess.KING, not attacker)
    (pawn_file, pawn_rank), (rook_file, rook_rank) = place(pawn, attacker), place(rook, attacker)
    (king_file, king_rank), (_, from_rank) = place(king, attacker), place(old_king, attacker)
    if pawn_rank != 7:
        return None

    def cut(file: int) -> bool:
        return file in range(min(pawn_file, other % 8 + 1) + 1, max(pawn_file, other % 8 + 1))

    step = None
    if king != old_king and rook_rank in (4, 5):
        if place(old_king, attacker) == (pawn_file, 8) and cut(rook_file):
            step = "comes out"
        elif before.is_check() and king_rank < from_rank and abs(king_file - pawn_file) <= 2 and king_rank > rook_rank:
            step = "comes down"
    elif rook != old_rook and before.is_check():
        step = "builds" if chess.square_distance(king, rook) == 1 else None
    elif rook_rank == 8 != place(old_rook, attacker)[1]:
        out = (king_file, king_rank) != (pawn_file, 8) and abs(king_file - pawn_file) <= 2
        promotion = pawn + (8 if attacker else -8)
        way_free = all(after.piece_at(at) is None for at in range(min(rook, promotion) + 1, max(rook, promotion)))
        step = "backs" if out and cut(rook_file) and way_free else None
    elif rook != old_rook and rook_rank in (4, 5) and place(old_rook, attacker)[1] != rook_rank:
        near = abs(king_file - pawn_file) <= 1 and king_rank >= 7
        step = "lifts" if near and cut(rook_file) and cut(old_rook % 8 + 1) else None
    return None if step is None else {"kind": "bridging", "step": step, "rook": chess.square_name(rook)}
