"""The critical test, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_nearer import edge
from tests.witness.ideas.waiting_move import Told


def then(board: chess.Board, move: chess.Move) -> chess.Board:
    board = board.copy(stack=False)
    board.push(move)
    return board


def lasts(board: chess.Board, move: chess.Move, told: Told) -> float:
    """Plies to mate after the defender's move; without end where it does not lose."""
    there = then(board, move)
    plies = told.mate_plies(there)
    return float("inf") if told.outcome(there) < 1 or plies is None else plies


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
    answer = told.answer(then(before, chess.Move.from_uci(next_best)))
    return {
        "kind": "critical",
        "alone": mine not in others,
        "longer_by": int(mine - max(shorter)) // 2,
        "most": int(mine - min(shorter)) // 2,
        "as_long": others.count(mine),
        "next_best": next_best,
        "answer": None if answer is None else answer.uci(),
        "like_it": shorter.count(max(shorter)) - 1,
        "off_edge": kings and max(edge(m.to_square) for m in quick) < edge(move.to_square),
    }


def next_best(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> tuple[chess.Move, chess.Board, list[chess.Board]] | None:
    """Return the next best defence, the board after it, and those after all that last longest."""
    found = claim(before, move, after, attacker, told)
    if found is None:
        return None
    other, mine = chess.Move.from_uci(str(found["next_best"])), lasts(before, move, told)
    longest = [then(before, m) for m in before.legal_moves if lasts(before, m, told) == mine]
    return other, then(before, other), longest
