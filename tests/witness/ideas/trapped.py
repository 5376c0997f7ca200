"""Trapped men, said again in the plainest way."""

from __future__ import annotations

import chess


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if after.is_check():
        return None
    for square in chess.SQUARES:
        piece = after.piece_at(square)
        if piece is None or piece.color != after.turn or piece.symbol().upper() in "KP":
            continue
        if not after.attackers(not after.turn, square) or after.attackers(after.turn, square):
            continue
        safe = False
        for way in after.legal_moves:
            if way.from_square == square:
                gone = after.copy()
                gone.push(way)
                lost = False
                for capture in gone.legal_moves:
                    if capture.to_square == way.to_square:
                        taken = gone.copy()
                        taken.push(capture)
                        lost = lost or all(reply.to_square != way.to_square for reply in taken.legal_moves)
                safe = safe or not lost
        if not safe:
            bare = after.copy()
            bare.remove_piece_at(square)
            told: dict[str, object] = {"kind": "trapped", "square": chess.square_name(square)}
            return told | {"man": chess.piece_name(piece.piece_type), "pinned": bare.is_check()}
    return None
