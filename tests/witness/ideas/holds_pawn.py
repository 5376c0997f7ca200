"""Holding a pawn, said again by trying every reply and by taking the pawn off a board."""

from __future__ import annotations

import chess


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    own = [
        (s, p.piece_type) for s, p in after.piece_map().items() if p.color == attacker and p.piece_type != chess.KING
    ]
    their = [
        (s, p.piece_type) for s, p in after.piece_map().items() if p.color != attacker and p.piece_type != chess.KING
    ]
    if before.turn != attacker or before.is_capture(move) or len(own) != 1 or len(their) != 1:
        return None
    (piece, kind), (pawn, theirs) = own[0], their[0]
    if kind not in (chess.QUEEN, chess.ROOK) or theirs != chess.PAWN:
        return None
    how = _how(before, move, after, attacker, piece, pawn)
    return None if how is None else {"kind": "holds_pawn", "how": how, "pawn": chess.square_name(pawn)}


def _how(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, piece: int, pawn: int
) -> str | None:
    front, goal = pawn + (-8 if attacker else 8), pawn % 8 + (0 if attacker else 56)
    king = after.king(not attacker)
    assert king is not None
    if before.piece_type_at(move.from_square) == chess.KING:
        nearer = chess.square_distance(move.to_square, goal) < chess.square_distance(move.from_square, goal)
        return "free step" if nearer and king == front else None
    if after.is_check():
        stepped = False
        for reply in after.legal_moves:
            if (reply.from_square, reply.to_square) == (king, front):
                stepped = True
            else:
                there = after.copy()
                there.push(reply)
                if reply.from_square == pawn or not _for_nothing(there, pawn):
                    return None
        return "forces" if stepped else None
    if piece == front:
        return "blocks"
    pinned = []
    for board in (before, after):
        lifted = board.copy()
        lifted.remove_piece_at(pawn)
        pinned.append(lifted.is_attacked_by(attacker, king))
    return "pins" if pinned == [False, True] and king % 8 != pawn % 8 else None


def _for_nothing(board: chess.Board, square: int) -> bool:
    for capture in board.legal_moves:
        if capture.to_square == square:
            taken = board.copy()
            taken.push(capture)
            if square not in [m.to_square for m in taken.legal_moves]:
                return True
    return False
