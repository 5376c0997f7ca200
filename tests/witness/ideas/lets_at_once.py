"""What the next best defence lets in at once, said again; the move taught is asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas import critical
from tests.witness.ideas.denies import then
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.prepares import deed
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = critical.claim(before, move, after, attacker, told)
    if found is None or found["answer"] is None:
        return None
    other, answer = (chess.Move.from_uci(str(found[name])) for name in ("next_best", "answer"))
    there = then(before, other)
    does = deed(there, answer, attacker)
    after_mine = [deed(after, chess.Move.from_uci(name), attacker) for name in quickest(after, told)]
    same = deed(after, answer, attacker) if answer in after.legal_moves else None
    if does is None or does in (same, *after_mine):
        return None
    taken = chess.PAWN if there.is_en_passant(answer) else there.piece_type_at(answer.to_square)
    man = answer.promotion or taken
    return {
        "kind": "lets_at_once",
        "other": other.uci(),
        "answer": answer.uci(),
        "does": does,
        "man": None if man is None else chess.piece_name(man),
    }
