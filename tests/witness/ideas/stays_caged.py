"""A step inside the cage, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_range import king_of
from tests.witness.ideas.stalemate_trap import stalemating


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    now = cage(after, attacker)
    if king_of(before, not attacker) == king_of(after, not attacker):
        return None
    if before.turn == attacker or cage(before, attacker) is None or now is None:
        return None
    beside_king = [s for s in chess.SQUARES if chess.square_distance(s, king_of(after, not attacker)) == 1]
    men = [s for s in beside_king if s != king_of(after, attacker) and after.color_at(s) == attacker]
    loose = [s for s in men if not after.attackers(attacker, s)]
    return {"kind": "stays_caged", "size": len(now), "nothing_to_go_for": not loose and not stalemating(after)}
