"""The cut-off line, said again in the plainest way."""

from __future__ import annotations

from collections.abc import Callable

import chess

from tests.witness.ideas.box import heavy
from tests.witness.ideas.king_range import king_of


def line(board: chess.Board, attacker: bool) -> str | None:
    piece = heavy(board, attacker)
    if piece is None:
        return None
    mine, theirs = king_of(board, attacker), king_of(board, not attacker)
    ranks, files = sorted((mine // 8, theirs // 8)), sorted((mine % 8, theirs % 8))
    men = [s for s in chess.SQUARES if board.color_at(s) == (not attacker) and s != theirs]
    if piece // 8 in range(ranks[0] + 1, ranks[1]) and _from_a_man(men, piece, theirs, lambda s: s // 8):
        return f"rank {piece // 8 + 1}"
    if piece % 8 in range(files[0] + 1, files[1]) and _from_a_man(men, piece, theirs, lambda s: s % 8):
        return f"file {'abcdefgh'[piece % 8]}"
    return None


def _from_a_man(men: list[int], piece: int, king: int, line: Callable[[int], int]) -> bool:
    """Whether the king is bare, or one of its men does not stand on its side of the line."""
    beyond = (lambda s: line(s) >= line(piece)) if line(king) < line(piece) else (lambda s: line(s) <= line(piece))
    return not men or any(map(beyond, men))


def _held(board: chess.Board, attacker: bool) -> str | None:
    """Return the line unless the king could step over it behind a man that stands on it."""
    name, piece = line(board, attacker), heavy(board, attacker)
    if name is None or piece is None:
        return None
    on = [s for s in chess.SQUARES if name[-1] in chess.square_name(s)]
    close = [s for s in on if chess.square_distance(s, king_of(board, not attacker)) == 1 and s != piece]
    clear = all(board.piece_at(b) is None for s in close for b in chess.SquareSet.between(piece, s))
    return name if clear else None


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = (_held(board, attacker) for board in (before, after))
    if before.turn != attacker or (was is None and now is None):
        return None
    change = "gives up" if now is None else "keeps" if now == was else "sets"
    return {"kind": "cut_off", "change": change, "line": was if now is None else now}
