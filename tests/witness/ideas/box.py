"""The box of a lone queen or rook, said again by counting squares."""

from __future__ import annotations

import chess

from tests.witness.ideas.barrier import men_besides
from tests.witness.ideas.king_range import king_of, king_range, shut, walk


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


def reached(board: chess.Board, attacker: bool) -> set[int]:
    """Where the king comes while the attacker's men stand still and it takes none."""
    return walk(king_of(board, not attacker), shut(board, attacker) | set(chess.SquareSet(board.occupied_co[attacker])))


def bars(board: chess.Board, attacker: bool) -> list[str]:
    """Return the lines of the piece with the king's whole walk on one side of them."""
    piece = heavy(board, attacker)
    if piece is None:
        return []
    names, there = chess.square_name(piece), [chess.square_name(square) for square in reached(board, attacker)]
    ranks, files = ({name[1] for name in there}, {name[0] for name in there})
    return [
        name
        for name, at, lines in ((f"rank {names[1]}", names[1], ranks), (f"file {names[0]}", names[0], files))
        if max(lines) < at or min(lines) > at
    ]


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = box(before, attacker), box(after, attacker)
    if before.turn != attacker or (was is None and now is None):
        return None
    change = "makes" if was is None else "opens" if now is None else ""
    if was is not None and now is not None:
        change = {-1: "shrinks", 0: "holds", 1: "widens"}[(now > was) - (now < was)]
    told: dict[str, object] = {"kind": "box", "change": change, "before": was, "after": now}
    told["takes"] = len(reached(after, attacker)) < len(reached(before, attacker))
    return told | {"free": now == len(king_range(after, attacker)), "bars": bars(after, attacker)}
