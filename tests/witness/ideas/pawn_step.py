"""A step of the pawn, said again in the plainest way."""

from __future__ import annotations

import chess


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    straight = move.from_square % 8 == move.to_square % 8
    if before.piece_at(move.from_square) != chess.Piece(chess.PAWN, attacker) or before.turn != attacker:
        return None
    if not straight or move.promotion is not None:
        return None
    found = sorted(after.attackers(attacker, move.to_square))
    names = [chess.piece_name(after.piece_type_at(square) or 0) for square in found]
    guard = "king" if "king" in names else names[0] if names else None
    goal = chess.square(move.to_square % 8, 7 if attacker else 0)
    over = [chess.piece_name(after.piece_type_at(s) or 0) for s in sorted(after.attackers(attacker, goal))]
    escort = next((name for name in over if name not in ("king", "pawn")), "king" if "king" in over else None)
    front = sorted(after.attackers(attacker, move.to_square + (8 if attacker else -8)))
    there = [chess.piece_name(after.piece_type_at(s) or 0) for s in front]
    ahead = next((name for name in there if name not in ("king", "pawn")), "king" if "king" in there else None)
    told: dict[str, object] = {"kind": "pawn_step", "square": chess.square_name(move.to_square), "guard": guard}
    return told | {"goal": chess.square_name(goal), "escort": escort, "ahead": ahead}
