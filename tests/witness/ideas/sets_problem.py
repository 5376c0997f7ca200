"""A problem set in a draw, said again; the values are asked of the same tables."""

from __future__ import annotations

import chess

from tests.witness.ideas.critical import then
from tests.witness.ideas.waiting_move import Told


def on_the_way(board: chess.Board, pawn: chess.Square, man: chess.Square) -> list[str]:
    """Return the squares before a pawn that a man stands on or attacks."""
    up = board.color_at(pawn) == chess.WHITE
    way = [s for s in chess.SQUARES if s % 8 == pawn % 8 and (s > pawn if up else s < pawn)]
    return [chess.square_name(s) for s in way if s == man or s in board.attacks(man)]


def claim(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool, told: Told
) -> dict[str, object] | None:
    if told.outcome(before) != 0 or told.outcome(after) != 0:
        return None
    holds = {reply.uci(): told.outcome(then(after, reply)) < 1 for reply in after.legal_moves}
    holding = sorted(name for name, held in holds.items() if held)
    moves = [chess.Move.from_uci(name) for name in holding]
    if len(holding) not in (1, 2, 3) or len(holds) - len(holding) <= len(holding):
        return None
    if any(after.piece_at(reply.to_square) is not None or after.is_en_passant(reply) for reply in moves):
        return None
    men = [(s, p.piece_type) for s, p in after.piece_map().items() if p.color == before.turn]
    pawns = [s for s, kind in men if kind == chess.PAWN]
    held: list[str] = []
    man = after.piece_type_at(moves[0].from_square)
    if len(men) == 2 and pawns and len(holding) == 1 and man != chess.KING:
        there = then(after, moves[0])
        if not on_the_way(after, pawns[0], moves[0].from_square):
            held = on_the_way(there, pawns[0], moves[0].to_square)
    return {"kind": "sets_problem", "holding": holding, "held": held}
