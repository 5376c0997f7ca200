"""What every idea is: frozen data with a kind, which becomes plain data for other programs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import Field, fields
from enum import Enum
from typing import Any, ClassVar

import chess

Squares = tuple[chess.Square, ...]


class Idea:
    """A claim about one move, base of frozen dataclasses.

    Attributes
    ----------
    kind : the name of the idea, the same as its file's
    """

    kind: ClassVar[str]
    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]

    def as_data(self) -> dict[str, object]:
        """Return the idea as plain data: its kind, squares as names, moves in long algebraic form, men by kind."""
        return {"kind": self.kind, **{f.name: plain(getattr(self, f.name), str(f.type)) for f in fields(self)}}


def plain(value: object, hint: str) -> object:
    """Return a value as plain data; the hint tells a square from a number."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, chess.Move):
        return value.uci()
    if isinstance(value, Idea):
        return {key: item for key, item in value.as_data().items() if key != "kind"}
    if isinstance(value, tuple):
        return [plain(item, hint) for item in value]
    if isinstance(value, int) and not isinstance(value, bool):
        if "Square" in hint:
            return chess.square_name(value)
        if "PieceType" in hint:
            return chess.piece_name(value)
    return value


def names(squares: Iterable[chess.Square]) -> list[str]:
    """Return the names of squares, sorted."""
    return sorted(chess.square_name(square) for square in squares)


def square_name(square: chess.Square) -> str:
    """Return the name of a square."""
    return chess.square_name(square)


def man_name(kind: chess.PieceType) -> str:
    """Return the name of a kind of man."""
    return chess.piece_name(kind)
