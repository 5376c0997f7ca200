"""A man off the rim, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.barrier import men_besides
from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_nearer import edge


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    man = before.piece_at(move.from_square)
    assert man is not None
    if before.turn != attacker or man.symbol().upper() not in "BN" or before.is_capture(move) or after.is_check():
        return None
    if edge(move.from_square) != 0 or edge(move.to_square) == 0:
        return None
    if cage(before, attacker) is not None or cage(after, attacker) is not None:
        return None
    men = men_besides(after, attacker)
    left = [s for letter in "BN" for s in men.get(letter, []) if edge(s) == 0]
    told: dict[str, object] = {"kind": "off_the_rim", "man": chess.piece_name(man.piece_type), "all_gathered": not left}
    was, now = len(before.attacks(move.from_square)), len(after.attacks(move.to_square))
    return told | {"guards_before": was, "guards_after": now}
