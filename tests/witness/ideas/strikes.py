"""A fork or a skewer of the defender, said again by the witness of refutations."""

from __future__ import annotations

import chess

from tests.witness.ideas.king_range import names
from tests.witness.ideas.refutation import means


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    how, squares = means(before, before, move, attacker)
    if before.turn == attacker or how not in ("fork", "skewer"):
        return None
    men = [chess.piece_name(after.piece_type_at(square) or 0) for square in squares]
    return {"kind": "strikes", "means": how, "men": men, "squares": names(squares)}
