"""The attacking king and the defender's man, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = king_of(before, attacker), king_of(after, attacker)
    men = [s for s, p in after.piece_map().items() if p.color != attacker and p.piece_type != chess.KING]
    if before.turn != attacker or was == now or before.is_capture(move) or len(men) != 1:
        return None
    square, far = men[0], chess.square_distance
    if far(now, square) >= far(was, square):
        return None
    if any(s != now for s in after.attackers(attacker, square)):
        return None
    name = chess.piece_name(after.piece_type_at(square) or 0)
    inside = None
    if name == "pawn":
        goal = square % 8 + (0 if attacker else 56)
        double = square // 8 == (6 if attacker else 1)
        inside = far(now, goal) <= far(square, goal) - double
    told: dict[str, object] = {"kind": "nears_man", "man": name, "square": chess.square_name(square)}
    return told | {
        "steps": far(now, square),
        "from_king": far(king_of(after, not attacker), square),
        "inside": inside,
    }
