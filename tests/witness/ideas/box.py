"""The box of a lone queen or rook, said again by counting squares."""

from __future__ import annotations

import chess

from tests.witness.ideas.barrier import men_besides
from tests.witness.ideas.king_range import king_of, king_range


def heavy(board: chess.Board, attacker: bool) -> int | None:
    men = men_besides(board, attacker)
    if len(men) == 1 and ("Q" in men or "R" in men) and sum(map(len, men.values())) == 1:
        return next(iter(men.values()))[0]
    return None


def box(board: chess.Board, attacker: bool) -> int | None:
    piece, king = heavy(board, attacker), king_of(board, not attacker)
    if piece is None or men_besides(board, not attacker) or piece % 8 == king % 8 or piece // 8 == king // 8:
        return None
    return sum(
        1
        for square in chess.SQUARES
        if square % 8 != piece % 8
        and square // 8 != piece // 8
        and (square % 8 < piece % 8) == (king % 8 < piece % 8)
        and (square // 8 < piece // 8) == (king // 8 < piece // 8)
    )


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = box(before, attacker), box(after, attacker)
    if before.turn != attacker or (was is None and now is None):
        return None
    change = "makes" if was is None else "opens" if now is None else ""
    if was is not None and now is not None:
        change = {-1: "shrinks", 0: "holds", 1: "widens"}[(now > was) - (now < was)]
    told: dict[str, object] = {"kind": "box", "change": change, "before": was, "after": now}
    return told | {"free": now == len(king_range(after, attacker))}
