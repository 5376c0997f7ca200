"""The men that may be captured at once after a move of their side."""

from __future__ import annotations

import chess

from matebot.facts.board import names
from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class LooseMen:
    """Squares of the men of the side that moved which may be captured at once, a pawn en passant too."""

    loose: tuple[str, ...]

    @classmethod
    def of(cls, played: Played) -> LooseMen:
        """Return what may be taken after a move."""
        after = played.after
        taken = {_victim_square(after, move) for move in played.replies if after.is_capture(move)}
        return cls(names(taken))


def _victim_square(board: chess.Board, capture: chess.Move) -> chess.Square:
    if board.is_en_passant(capture):
        return chess.square(chess.square_file(capture.to_square), chess.square_rank(capture.from_square))
    return capture.to_square
