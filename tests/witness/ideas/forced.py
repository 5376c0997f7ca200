"""The forced move, said again in the plainest way."""

from __future__ import annotations

import chess


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    return {"kind": "forced"} if list(before.legal_moves) == [move] else None
