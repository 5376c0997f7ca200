"""A board as text: plain letters, or figurines on coloured squares where the terminal can show them."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Mapping, Sequence
from typing import TextIO

import chess

#: Squares, men and the end of colour, as control sequences. Source: ECMA-48, 8.3.117; the 256 colours are common
#: practice, no source.
_DARK, _LIGHT, _INK, _PLAIN = "\x1b[48;5;144m", "\x1b[48;5;230m", "\x1b[38;5;16m", "\x1b[0m"
Marks = Mapping[chess.Square, str]
#: Characters a board takes on a line.
BOARD_WIDTH = 22
_CONTROL = re.compile(r"\x1b\[[0-9;]*m")


def diagram(board: chess.Board, below: chess.Color = chess.WHITE, marks: Marks | None = None) -> str:
    """Return a board with coordinates; dots are empty squares, small letters Black's men.

    Parameters
    ----------
    below : the side at the bottom
    marks : signs on empty squares
    """
    signs = marks or {}

    def cell(square: chess.Square) -> str:
        piece = board.piece_at(square)
        return piece.symbol() if piece else signs.get(square, ".")

    return _numbered([" ".join(map(cell, row)) for row in _squares(below)], below)


def coloured(board: chess.Board, below: chess.Color = chess.WHITE, marks: Marks | None = None) -> str:
    """Return a board of figurines on coloured squares, of the same size as a `diagram`."""
    signs = marks or {}

    def cell(square: chess.Square) -> str:
        piece = board.piece_at(square)
        ground = _LIGHT if (chess.square_file(square) + chess.square_rank(square)) % 2 else _DARK
        return f"{ground}{piece.unicode_symbol() if piece else signs.get(square, ' ')} "

    return _numbered([f"{_INK}{''.join(map(cell, row))}{_PLAIN}" for row in _squares(below)], below)


def _numbered(rows: list[str], below: chess.Color) -> str:
    ranks = range(8, 0, -1) if below else range(1, 9)
    names = chess.FILE_NAMES if below else chess.FILE_NAMES[::-1]
    return "\n".join(
        [*(f"  {rank}  {row}" for rank, row in zip(ranks, rows, strict=True)), "", f"     {' '.join(names)}"]
    )


def board_text(board: chess.Board, below: chess.Color = chess.WHITE, marks: Marks | None = None) -> str:
    """Return a board as standard output can show it best; what is no terminal gets plain letters."""
    return (coloured if can_colour(sys.stdout, os.environ) else diagram)(board, below, marks)


def beside(left: str, right: Sequence[str], width: int = BOARD_WIDTH) -> list[str]:
    """Return lines of a text with other lines beside it, which begin after so many characters and a gap."""
    lines = left.split("\n")
    rows = max(len(lines), len(right))
    pairs = zip(lines + [""] * (rows - len(lines)), [*right, *[""] * (rows - len(right))], strict=True)
    return [f"{text}{' ' * max(0, width - len(_CONTROL.sub('', text)))}  {more}".rstrip() for text, more in pairs]


def can_colour(stream: TextIO | None, environment: Mapping[str, str]) -> bool:
    """Whether a stream is a terminal that takes figurines and colour, and nobody asked for plain letters.

    NO_COLOR with any value but the empty one asks for them (common practice, no source).
    """
    if stream is None or not stream.isatty() or environment.get("NO_COLOR"):
        return False
    encoding = (getattr(stream, "encoding", None) or "").casefold().replace("-", "").replace("_", "")
    return encoding == "utf8" and environment.get("TERM", "") not in ("", "dumb")


def _squares(below: chess.Color) -> list[list[chess.Square]]:
    """Return the squares row by row as they are seen, the upper left one first."""
    ranks = range(7, -1, -1) if below else range(8)
    files = range(8) if below else range(7, -1, -1)
    return [[chess.square(file, rank) for file in files] for rank in ranks]
