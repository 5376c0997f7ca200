"""A bishop kept off the squares from which it would stop a pawn, said again square by square."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import king_of, names


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    men = {
        colour: sorted(p.symbol().upper() for p in after.piece_map().values() if p.color == colour) for colour in (0, 1)
    }
    if before.turn != attacker or (men[attacker], men[not attacker]) != (["K", "P"], ["B", "K"]):
        return None
    if before.piece_type_at(move.from_square) != chess.KING or before.is_capture(move):
        return None
    (pawn,), (bishop,) = after.pieces(chess.PAWN, attacker), after.pieces(chess.BISHOP, not attacker)
    step = 8 if attacker else -8
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s - pawn) * step > 0]
    if any(s in after.attacks(bishop) for s in way):
        return None
    posts = []
    for goal in (m.to_square for m in after.legal_moves if m.from_square == bishop):
        there = after.copy(stack=False)
        there.set_piece_at(goal, there.remove_piece_at(bishop))
        if goal in way or any(s in there.attacks(goal) for s in way):
            posts.append(goal)
    king, other = king_of(after, attacker), king_of(after, not attacker)
    held = all(chess.square_distance(king, s) == 1 and chess.square_distance(other, s) > 1 for s in posts)
    if not held or not any(chess.square_distance(move.from_square, s) > 1 for s in posts):
        return None
    return {"kind": "bishop_barred", "posts": names(posts)}
