"""What a shorter defence concedes, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.denies import best_answer, let_in, mates_soonest
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    lengths = {other.uci(): lasts(before, other, told) for other in before.legal_moves}
    mine, longest = lengths[move.uci()], max(lengths.values())
    if before.turn == attacker or longest == float("inf") or mine == longest:
        return None
    better = chess.Move.from_uci(min(name for name in lengths if lengths[name] == longest))
    answer = best_answer(after, told)
    alike = [then(before, m) for m in before.legal_moves if lengths[m.uci()] == longest and m != better]
    there = then(before, better)
    found = None if answer is None else let_in(after, answer, there, attacker, alike)
    if found is not None and answer is not None and found["what"] in ("edge", "box", "room"):
        found = None if any(mates_soonest(b, answer, told) for b in [there, *alike]) else found
    if found is not None and found["what"] == "promotion":
        no_longer = [then(before, chess.Move.from_uci(name)) for name, plies in lengths.items() if plies <= mine]
        found = found if all(promotes_with_check(there, told) for there in no_longer) else None
    return None if found is None or answer is None else {"kind": "concedes", "answer": answer.uci(), **found}


def promotes_with_check(board: chess.Board, told: Told) -> bool:
    answer = told.answer(board)
    return answer is not None and answer.promotion is not None and board.gives_check(answer)
