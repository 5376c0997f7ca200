"""Holes, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage, mating_corners, small_and_near
from tests.witness.ideas.king_range import king_of, king_range, names, shut, walk


def holes(board: chess.Board, attacker: bool) -> set[int]:
    if cage(board, attacker) is not None:
        return set()
    king, closed, corners = king_of(board, not attacker), shut(board, attacker), mating_corners(board, attacker)
    return {
        square
        for square in king_range(board, attacker)
        if square != king and small_and_near(walk(king, closed | {square}), corners)
    }


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = holes(before, attacker), holes(after, attacker)
    shuts = cage(after, attacker) is not None
    if before.turn != attacker or not (now or (was and shuts)):
        return None
    return {
        "kind": "holes",
        "closed": names(was if shuts else ()),
        "left": names(s for s in was if s in now),
        "made": names(s for s in now if s not in was),
    }
