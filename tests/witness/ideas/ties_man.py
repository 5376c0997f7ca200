"""A man tied down by the king, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.guards import tied
from tests.witness.ideas.king_range import beside, king_of, names


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    king = king_of(after, not attacker)
    if before.turn == attacker or king == king_of(before, not attacker):
        return None
    rows = []
    for man, squares in tied(after, attacker).items():
        here = [s for s in squares if s in beside(king)]
        if here and man != king_of(after, attacker):
            rows.append((-len(here), after.piece_type_at(man) or 0, man, here))
    if not rows:
        return None
    _, _, man, here = min(rows)
    kind = chess.piece_name(after.piece_type_at(man) or 0)
    return {"kind": "ties_man", "man": kind, "square": chess.square_name(man), "holds": names(here)}
