"""What the next best defence runs into, said again; the moves taught are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import critical, ends_in
from tests.witness.ideas.critical import then
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = critical.claim(before, move, after, attacker, told)
    if found is None or not found["alone"]:
        return None
    other = chess.Move.from_uci(str(found["next_best"]))
    its, mine = (ends_in.claim(before, m, then(before, m), attacker, told) for m in (other, move))
    if its is None or _plies(its) > 3:
        return None
    if mine is not None and _plies(mine) <= 3 and (mine["does"], mine["man"]) == (its["does"], its["man"]):
        return None
    return {**its, "kind": "worse", "other": other.uci()}


def _plies(found: dict[str, object]) -> int:
    line = found["line"]
    assert isinstance(line, list)
    return len(line)
