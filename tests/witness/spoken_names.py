"""Whether the men that sentences speak of are on the board at all: each kind named, and two where there are several."""

from __future__ import annotations

import re

import chess

_KINDS = {name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name and name != "king"}
_PIECE = r"\b(?:queen|rook|bishop|knight)"
#: A man or several; those of a rule, as "bishops stop pawns", are no men of the position.
_MAN = r"\b(the |both |its |two )?(queen|rook|bishop|knight|pawn)(s?)\b"

#: A pawn by the side of the board where it began, and the men one of which should have been made.
_NOT_THERE = rf"\b(?:rook|knight|bishop)'s (pawn|move)|{_PIECE}(?:(?:, | or ){_PIECE})* is needed()"


def missing(text: str, whole: str, before: chess.Board, after: chess.Board) -> str:
    """Return what a sentence names that stands nowhere before or after a move; nothing where all is there.

    A man that a pawn is made into by a move of the whole text is there too, and a queen where there is a pawn.
    """
    made = {kind for name, kind in _KINDS.items() if f"={chess.piece_symbol(kind).upper()}" in whole}
    if before.pawns:
        made.add(chess.QUEEN)
    for the, name, several in re.findall(_MAN, re.sub(_NOT_THERE, r"\1", text)):
        kind = _KINDS[name]
        most = max(len(board.pieces(kind, side)) for board in (before, after) for side in chess.COLORS)
        if most + (kind in made) < 1 + bool(the and several):
            return f"no {name}{several}: {text!r}"
    return ""
