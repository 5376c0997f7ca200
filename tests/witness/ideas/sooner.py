"""A defence that loses sooner, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import lasts
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker:
        return None
    rows = [(lasts(before, other, told), other.uci()) for other in before.legal_moves]
    mine, longest = lasts(before, move, told), max(plies for plies, _ in rows)
    if longest == float("inf") or longest - mine < 2:
        return None
    better = min(name for plies, name in rows if plies == longest)
    return {"kind": "sooner", "by": int(longest - mine) // 2, "better": better}
