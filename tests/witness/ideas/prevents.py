"""What a longer defence prevents, said again; distances and the move taught are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import sooner
from tests.witness.ideas.critical import lasts, then
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = sooner.claim(before, move, after, attacker, told)
    if found is None:
        return None
    better = chess.Move.from_uci(str(found["better"]))
    there, quick = then(before, better), sorted(quickest(after, told))
    mine = lasts(before, better, told)
    longest = [then(before, other) for other in before.legal_moves if lasts(before, other, told) == mine]
    if any(name in quickest(board, told) for name in quick for board in longest):
        return None
    taught = told.answer(after)
    reply = taught.uci() if taught is not None and taught.uci() in quick else quick[0]
    legal = [name for name in quick if chess.Move.from_uci(name) in there.legal_moves]
    prevented = all(told.outcome(then(there, chess.Move.from_uci(name))) >= 0 for name in legal)
    guards = chess.Move.from_uci(reply).to_square in there.attacks(better.to_square)
    return {
        "kind": "prevents",
        "better": better.uci(),
        "reply": reply,
        "prevented": prevented,
        "guarded": prevented and guards,
    }
