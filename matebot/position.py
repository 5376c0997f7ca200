"""Positions read from text, FEN and moves in long algebraic form, with the field or move named that is wrong."""

from __future__ import annotations

from collections.abc import Sequence

import chess

_FEN_FIELDS = (
    "piece placement",
    "side to move",
    "castling rights",
    "en passant square",
    "halfmove clock",
    "move number",
)


class UnknownPosition(Exception):
    """A position that could not be read; the text says why."""


def read_fen(fen: str | None) -> chess.Board:
    """Return the position of a FEN with four, five or six fields; the first position of the game for None.

    Raises
    ------
    UnknownPosition
        naming the field that is wrong
    """
    if fen is None:
        return chess.Board()
    fields = fen.split()
    if not 4 <= len(fields) <= 6:
        raise UnknownPosition(f"expected a FEN of four to six fields, got {fen!r}")
    fields += ["0", "1"][len(fields) - 4 :]
    for count, name in enumerate(_FEN_FIELDS, start=1):
        try:
            chess.Board(" ".join(fields[:count]))
        except ValueError as fault:
            detail = str(fault).split(":")[0]
            raise UnknownPosition(
                f"expected a FEN with a valid {name} ({detail}), got {fields[count - 1]!r} in {fen!r}"
            ) from None
    return chess.Board(" ".join(fields))


def play_moves(board: chess.Board, moves: Sequence[str]) -> chess.Board:
    """Make moves in long algebraic form on a board, and return it.

    Raises
    ------
    UnknownPosition
        naming the first move that is none
    """
    for number, text in enumerate(moves, start=1):
        try:
            move = chess.Move.from_uci(text)
        except ValueError:
            raise UnknownPosition(f"expected move {number} in long algebraic form, got {text!r}") from None
        if not board.is_legal(move):
            kind = "a null move" if not move else repr(text)
            raise UnknownPosition(f"expected move {number} to be legal in {board.fen()!r}, got {kind}")
        board.push(move)
    return board
