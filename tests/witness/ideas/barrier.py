"""The barrier of bishop and knight, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import is_light
from tests.witness.ideas.king_range import king_of, names, without_king


def men_besides(board: chess.Board, attacker: bool) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for square in chess.SQUARES:
        piece = board.piece_at(square)
        if piece is not None and piece.color == attacker and piece.symbol().upper() != "K":
            found.setdefault(piece.symbol().upper(), []).append(square)
    return found


def pair(board: chess.Board, attacker: bool) -> tuple[int, int] | None:
    men = men_besides(board, attacker)
    if sorted(men) == ["B", "N"] and len(men["B"]) == len(men["N"]) == 1:
        return men["B"][0], men["N"][0]
    return None


def barrier(board: chess.Board, attacker: bool) -> list[list[str]] | None:
    two = pair(board, attacker)
    if two is None or is_light(two[0]) != is_light(two[1]):
        return None
    king, bare = king_of(board, not attacker), without_king(board, attacker)
    lists = [names(s for s in bare.attacks(man) if chess.square_distance(s, king) == 1) for man in two]
    return lists if lists[0] and lists[1] else None


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    found = barrier(after, attacker)
    if before.turn != attacker or found is None:
        return None
    new = barrier(before, attacker) is None
    return {"kind": "barrier", "by_bishop": found[0], "by_knight": found[1], "new": new}
