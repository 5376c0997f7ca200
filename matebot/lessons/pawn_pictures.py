"""King and pawn in pictures: key squares, the opposition with either side to move, the rook's pawn, the stalemate.

What each position is worth comes from the tables.
"""

from __future__ import annotations

import chess

from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.sheet import Shown
from matebot.method.field import key_squares
from matebot.wording import lesson as words

#: What every textbook shows (common practice, no source), with what it is an example of.
_EXAMPLES = (
    (words.OPPOSITION, "8/4k3/8/4K3/4P3/8/8/8 b - - 0 1"),
    (words.OPPOSITION, "8/4k3/8/4K3/4P3/8/8/8 w - - 0 1"),
    (words.SIXTH_RANK, "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1"),
    (words.NO_SQUARE_LEFT, "4k3/4P3/4K3/8/8/8/8/8 b - - 0 1"),
    (words.ROOKS_PAWN, "k7/8/1K6/P7/8/8/8/8 w - - 0 1"),
)


def pawn_pictures(library: ByLadder, start: chess.Board, mirror: bool) -> list[Shown]:
    """Return the pictures, that of the key squares first, in the position from which the game starts."""
    (pawn,) = start.pieces(chess.PAWN, chess.WHITE)
    keys = sorted(key_squares(pawn))
    caption = words.key_caption([chess.square_name(square) for square in keys])
    shown = [Shown(marked(start, caption, stars=keys))]
    for text, fen in _EXAMPLES:
        board = turned(chess.Board(fen), mirror)
        outcome = library.tables.value_of(library.tables.stand(board)[0]).outcome
        side = chess.COLOR_NAMES[board.turn]
        shown.append(Shown(marked(board, words.example_caption(text, side, outcome != 0))))
    return shown
