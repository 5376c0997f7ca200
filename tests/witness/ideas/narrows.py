"""The range narrowed, said again in the plainest way."""

from __future__ import annotations

import chess

from tests.witness.ideas.cage import cage
from tests.witness.ideas.king_range import king_range


def claim(before: chess.Board, move: chess.Move, after: chess.Board, attacker: bool) -> dict[str, object] | None:
    was, now = len(king_range(before, attacker)), len(king_range(after, attacker))
    bare = sum(piece.color != attacker for piece in before.piece_map().values()) == 1
    if before.turn != attacker or not bare or cage(before, attacker) is not None or now / was > 0.8 + 1e-9:
        return None
    man, start, end = before.piece_type_at(move.from_square), move.from_square, move.to_square
    new = []
    if man == chess.ROOK:
        up = start % 8 == end % 8
        new = [f"rank {end // 8 + 1}" if up else f"file {chess.FILE_NAMES[end % 8]}"]
        crossing = [s for s in chess.SQUARES if (s // 8 == end // 8 if up else s % 8 == end % 8)]
    if man == chess.BISHOP:
        rising = (end - start) % 9 == 0
        other = [s for s in chess.SQUARES if abs(s // 8 - end // 8) == abs(s % 8 - end % 8) and s != end]
        crossing = [*(s for s in other if ((s // 8 > end // 8) == (s % 8 > end % 8)) != rising), end]
        ends = sorted(crossing, key=lambda s: s % 8)
        new = [f"diagonal {chess.square_name(ends[0])}-{chess.square_name(ends[-1])}"]
    if new and any(after.color_at(s) == attacker for s in crossing if s != end):
        new = []  # its own man stands on the line
    return {"kind": "narrows", "size_before": was, "size_after": now, "along": new}
