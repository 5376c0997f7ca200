"""The critical test, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.waiting_move import Told


def lasts(board: chess.Board, move: chess.Move, told: Told) -> float:
    """Plies to mate after the defender's move; without end where it does not lose."""
    then = board.copy()
    then.push(move)
    plies = told.mate_plies(then)
    return float("inf") if told.outcome(then) < 1 or plies is None else plies


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker:
        return None
    mine = lasts(before, move, told)
    lengths = {other.uci(): lasts(before, other, told) for other in before.legal_moves if other != move}
    others = list(lengths.values())
    shorter = [plies for plies in others if plies != mine]
    if not shorter or mine == float("inf") or max(others) > mine:
        return None
    quick = [chess.Move.from_uci(name) for name, plies in lengths.items() if plies < mine]
    kings = all(before.piece_type_at(m.from_square) == chess.KING for m in [move, *quick])
    next_best = sorted(name for name, plies in lengths.items() if plies == max(shorter))[0]
    then = before.copy()
    then.push_uci(next_best)
    answer = told.answer(then)
    return {
        "kind": "critical",
        "alone": mine not in others,
        "longer_by": int(mine - max(shorter)) // 2,
        "most": int(mine - min(shorter)) // 2,
        "as_long": others.count(mine),
        "next_best": next_best,
        "answer": None if answer is None else answer.uci(),
        "off_edge": kings and max(edge(m.to_square) for m in quick) < edge(move.to_square),
    }
