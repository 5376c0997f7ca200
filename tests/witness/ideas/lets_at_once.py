"""What the next best defence lets in at once, said again; the move taught is asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import next_best
from tests.witness.ideas.denies import best_answer
from tests.witness.ideas.must_first import quickest
from tests.witness.ideas.prepares import deed
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    found = next_best(before, move, after, attacker, told)
    if found is None:
        return None
    other, there, longest = found
    answer = best_answer(there, told)
    if answer is None:
        return None
    does = deed(there, answer, attacker)
    for board in longest:
        quick = [deed(board, chess.Move.from_uci(name), attacker) for name in quickest(board, told)]
        same = deed(board, answer, attacker) if answer in board.legal_moves else None
        if does is None or does in (same, *quick) or answer.uci() in quickest(board, told):
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
