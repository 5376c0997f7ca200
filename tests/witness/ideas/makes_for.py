"""The king that makes for a square, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import beside, king_of, names, shut
from tests.witness.ideas.shuts_way import anywhere, leading


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = king_of(before, not attacker), king_of(after, not attacker)
    if before.turn == attacker or was == now:
        return None
    closed = shut(after, attacker)
    new = [s for s in beside(now) if s not in [was, *beside(was)] and s not in closed and after.piece_at(s) is None]
    steps = [m.to_square for m in before.legal_moves if m.from_square == was]
    for goal, target, serving in goals(after, attacker):
        found = [s for s in new if s in serving]
        if goal != "man":
            first = next((way for a, t, way in anywhere(before, attacker) if (a, t) == (goal, target)), None)
            if first is None or any(s in first for s in steps):
                continue
            found = [s for s in found if s in first]
        if found:
            man = None if target is None else after.piece_type_at(chess.parse_square(target))
            told: dict[str, object] = {"kind": "makes_for", "goal": goal, "squares": names(found), "target": target}
            return told | {"man": None if man is None else chess.piece_name(man)}
    return None


def goals(board: chess.Board, attacker: bool) -> list[tuple[str, str | None, list[int]]]:
    """Return where squares next to the defending king lead: to men nobody guards, then by the ways."""
    king = king_of(board, not attacker)
    loose = [
        square
        for square, piece in sorted(board.piece_map().items())
        if piece.color == attacker and piece.piece_type != chess.KING and not board.attackers(attacker, square)
    ]
    men: list[tuple[str, str | None, list[int]]] = [
        ("man", chess.square_name(man), beside(man)) for man in loose if man not in beside(king)
    ]
    return men + leading(board, attacker)
