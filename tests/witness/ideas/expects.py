"""What the attacker does next, said again; the move taught is asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.prepares import deed
from tests.witness.ideas.waiting_move import Told


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if before.turn == attacker or told.outcome(after) != 1:
        return None
    reply = told.answer(after)
    does = None if reply is None else deed(after, reply, attacker)
    if reply is None or (does is None and after.piece_type_at(reply.from_square) != chess.PAWN):
        return None
    taken = chess.PAWN if after.is_en_passant(reply) else after.piece_type_at(reply.to_square)
    man = reply.promotion or taken
    name = None if man is None else chess.piece_name(man)
    return {"kind": "expects", "reply": reply.uci(), "does": does, "man": name}
