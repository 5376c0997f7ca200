"""The king driven, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import mating_corners
from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.king_range import king_of, without_king


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker:
        return None
    king, replies = king_of(after, not attacker), list(after.legal_moves)
    goals = {reply.to_square for reply in replies if reply.from_square == king}
    if not replies or len(goals) < len(replies):
        return None
    if not any(chess.square_distance(s, king) == 1 for s in without_king(after, attacker).attacks(move.to_square)):
        return None
    where, corner, open_before = "", None, without_king(before, attacker)
    near = [s for s in chess.SQUARES if chess.square_distance(s, king) == 1 and before.color_at(s) != (not attacker)]
    had = [s for s in near if not open_before.is_attacked_by(attacker, s)]
    if edge(king) == 0 and {edge(goal) for goal in goals} == {0}:
        where = "along the edge"
    by_steps = sorted((chess.square_distance(king, chess.parse_square(n)), n) for n in mating_corners(after, attacker))
    if by_steps and [steps for steps, _ in by_steps].count(by_steps[0][0]) == 1:
        steps, name = by_steps[0]
        if max(chess.square_distance(goal, chess.parse_square(name)) for goal in goals) < steps:
            where, corner = "to a corner", name
    if edge(king) and max(edge(goal) for goal in goals) < edge(king) and any(edge(s) >= edge(king) for s in had):
        where, corner = "to the edge", None
    return {"kind": "drives", "where": where, "corner": corner} if where else None
