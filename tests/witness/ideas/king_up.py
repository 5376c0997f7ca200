"""The attacking king brought up, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.box import box
from tests.witness.ideas.cage import cage
from tests.witness.ideas.cut_off import line
from tests.witness.ideas.king_range import king_of


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    if before.turn != attacker or king_of(before, attacker) == king_of(after, attacker):
        return None
    was, now = (chess.square_distance(king_of(b, True), king_of(b, False)) for b in (before, after))
    if now >= was:
        return None
    cages, boxes = [cage(b, attacker) for b in (before, after)], [box(b, attacker) for b in (before, after)]
    held = "nothing"
    if None not in boxes and boxes[1] <= boxes[0]:  # type: ignore[operator]
        held = "box"
    if line(before, attacker) is not None and line(after, attacker) is not None:
        held = "line"
    if cages[0] is not None and cages[1] is not None and len(cages[1]) <= len(cages[0]):
        held = "cage"
    return {"kind": "king_up", "steps": now, "held_by": held}
