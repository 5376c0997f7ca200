"""The king cut off from the pawn, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of


def parts(board: chess.Board, attacker: bool) -> list[str]:
    men = {p.piece_type: s for s, p in board.piece_map().items() if p.color == attacker and p.piece_type != chess.KING}
    theirs = [s for s, p in board.piece_map().items() if p.color != attacker]
    mine = [s for s, p in board.piece_map().items() if p.color == attacker]
    piece = men.get(chess.QUEEN, men.get(chess.ROOK))
    pawn, king = men.get(chess.PAWN), king_of(board, not attacker)
    if len(theirs) != 1 or len(mine) != 3 or piece is None or pawn is None:
        return []
    found = []
    if king % 8 < piece % 8 < pawn % 8 or king % 8 > piece % 8 > pawn % 8:
        found.append(f"file {chess.square_name(piece)[0]}")
    if king // 8 < piece // 8 < pawn // 8 or king // 8 > piece // 8 > pawn // 8:
        found.append(f"rank {chess.square_name(piece)[1]}")
    return found


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    man = before.piece_type_at(move.from_square)
    if before.turn != attacker or man not in (chess.QUEEN, chess.ROOK) or before.is_capture(move):
        return None
    was, now = parts(before, attacker), parts(after, attacker)
    return {"kind": "cuts_from_pawn", "line": now[0]} if now and not was else None
