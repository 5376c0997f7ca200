"""What the next best defence is met by, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import critical
from tests.witness.ideas.counters import answer, tells
from tests.witness.ideas.critical import lasts
from tests.witness.ideas.denies import then
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = critical.claim(before, move, after, attacker, told)
    if found is None:
        return None
    other = chess.Move.from_uci(str(found["next_best"]))
    there, mine = then(before, other), lasts(before, move, told)
    reply, does = answer(there, attacker, told)
    best = [then(before, m) for m in before.legal_moves if lasts(before, m, told) == mine]
    if does is None or not tells(there, reply, does, best, attacker, told):
        return None
    return {"kind": "outlasts", "other": other.uci(), "reply": reply, **does}
