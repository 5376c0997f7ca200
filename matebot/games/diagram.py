"""A board as text."""

from __future__ import annotations

import chess


def diagram(board: chess.Board) -> str:
    """Return a board with coordinates, White below; dots are empty squares, small letters Black's men."""
    rows = []
    for rank in reversed(range(8)):
        pieces = [board.piece_at(chess.square(file, rank)) for file in range(8)]
        rows.append(f"  {rank + 1}  {' '.join(p.symbol() if p else '.' for p in pieces)}")
    return "\n".join([*rows, "", f"     {' '.join(chess.FILE_NAMES)}"])
