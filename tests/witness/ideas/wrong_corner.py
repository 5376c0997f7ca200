"""The wrong corner, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import CORNERS, mating_corners
from tests.witness.ideas.king_range import king_of, king_range


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    good = [chess.parse_square(name) for name in mating_corners(after, attacker)]
    bad = [corner for corner in sorted(map(chess.parse_square, CORNERS)) if corner not in good]
    if not good or not bad:
        return None
    king = king_of(after, not attacker)
    steps = min(chess.square_distance(king, corner) for corner in bad)
    corner = next(c for c in bad if chess.square_distance(king, c) == steps)
    deed = ""
    if before.turn != attacker and move.to_square == king:
        nearer = steps < chess.square_distance(move.from_square, corner)
        if nearer and all(chess.square_distance(king, c) > steps for c in good):
            free = [s for s in king_range(after, attacker) if chess.square_distance(king, s) == 1]
            if not steps or any(chess.square_distance(s, corner) < steps for s in free):
                deed = "runs"
    if before.turn == attacker and steps <= 2 and any(after.legal_moves):
        away = [m for m in after.legal_moves if m.from_square == king]
        away = [m for m in away if chess.square_distance(m.to_square, corner) > steps]
        away = [m for m in away if corner not in king_range(_then(after, m), attacker)]
        if len(away) == after.legal_moves.count():
            deed = "drives out"
    return {"kind": "wrong_corner", "deed": deed, "corner": chess.square_name(corner), "steps": steps} if deed else None


def _then(board: chess.Board, move: chess.Move) -> chess.Board:
    board = board.copy(stack=False)
    board.push(move)
    return board
