"""What the attacker must do first, said again; distances and the move taught are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import expects
from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.waiting_move import Told


def quickest(board: chess.Board, told: Told) -> list[str]:
    """Return the attacker's moves that mate soonest."""
    plies = {m.uci(): told.mate_plies(then(board, m)) for m in board.legal_moves if told.outcome(then(board, m)) == -1}
    counts = [n for n in plies.values() if n is not None]
    return [name for name, n in plies.items() if n == min(counts)]


def must(before: chess.Board, move: chess.Move, reply: str, told: Told) -> bool:
    """Whether the reply alone is quickest, and after every shorter defence something else is quicker."""
    mine = lasts(before, move, told)
    quick = [other for other in before.legal_moves if lasts(before, other, told) < mine]
    after_those = [reply not in quickest(then(before, other), told) for other in quick]
    return quickest(then(before, move), told) == [reply] and bool(quick) and all(after_those)


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = expects.claim(before, move, after, attacker, told)
    if found is None or not must(before, move, str(found["reply"]), told):
        return None
    return {**found, "kind": "must_first"}
