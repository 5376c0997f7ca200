"""What the attacker does next, said again; the move taught is asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import then
from tests.witness.ideas.denies import mates_soonest
from tests.witness.ideas.king_range import king_of, king_range
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
    king = king_of(after, not attacker)
    if (
        does in ("king up", "cuts off", "shrinks", "box")
        and reply.from_square == king_of(after, attacker)
        and not plain(reply, king)
    ):
        quick = sorted((m for m in after.legal_moves if mates_soonest(after, m, told)), key=chess.Move.uci)
        others = [m for m in quick if m.from_square == reply.from_square and plain(m, king)]
        others = [m for m in others if deed(after, m, attacker) == "king up"] if reply in quick else []
        reply, does = (others[0], "king up") if others else (reply, does)
    left: list[str] = []
    if does in ("shuts", "tightens"):
        now = then(after, reply)
        left = [chess.square_name(s) for s in sorted(king_range(now, attacker) - ({king} if now.is_check() else set()))]
    taken = chess.PAWN if after.is_en_passant(reply) else after.piece_type_at(reply.to_square)
    man = reply.promotion or taken
    name = None if man is None else chess.piece_name(man)
    return {"kind": "expects", "reply": reply.uci(), "does": does, "man": name, "left": left}


def plain(step: chess.Move, king: int) -> bool:
    """Whether a step leads nearer to a square, and no farther from it by files or by ranks."""
    was, now = ((abs(s % 8 - king % 8), abs(s // 8 - king // 8)) for s in (step.from_square, step.to_square))
    return max(now) < max(was) and now[0] <= was[0] and now[1] <= was[1]
