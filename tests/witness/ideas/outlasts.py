"""What the next best defence is met by, said again; the distances are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.counters import answer, tells
from tests.witness.ideas.critical import next_best
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = next_best(before, move, after, attacker, told)
    if found is None:
        return None
    other, there, longest = found
    reply, does = answer(there, attacker, told)
    if does is None or not tells(there, reply, does, longest, attacker, told):
        return None
    return {"kind": "outlasts", "other": other.uci(), "reply": reply, **does}
