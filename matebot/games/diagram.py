"""A board as text."""

from __future__ import annotations

import chess


def diagram(board: chess.Board, below: chess.Color = chess.WHITE) -> str:
    """Return a board with coordinates; dots are empty squares, small letters Black's men.

    Parameters
    ----------
    below : the side at the bottom
    """
    files, ranks = range(8), range(8)
    rows = []
    for rank in reversed(ranks) if below else ranks:
        pieces = [board.piece_at(chess.square(file, rank)) for file in (files if below else reversed(files))]
        rows.append(f"  {rank + 1}  {' '.join(p.symbol() if p else '.' for p in pieces)}")
    names = chess.FILE_NAMES if below else chess.FILE_NAMES[::-1]
    return "\n".join([*rows, "", f"     {' '.join(names)}"])
