"""A lone pawn in pictures: its key squares, what every textbook shows, the square of the pawn.

What each position is worth comes from the tables, with either side to move where that is what matters.
"""

from __future__ import annotations

import chess

from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.taught import Example, ExampleKind
from matebot.lessons.textbook_pictures import textbook_pictures
from matebot.method.squares import key_squares
from matebot.wording import lesson as words

_SQUARE = ("8/8/8/6k1/1P6/8/8/7K w - - 0 1", "8/8/8/6k1/1P6/8/8/7K b - - 0 1")


def pawn_pictures(library: ByLadder, start: chess.Board, mirror: bool) -> list[Example]:
    """Return the pictures, that of the key squares first, in the position from which the game starts."""
    keys = sorted(key_squares(_pawn(start)))
    caption = words.key_caption([chess.square_name(square) for square in keys])
    shown = [Example(ExampleKind.KEY_SQUARES, 1, marked(start, caption, stars=keys))]
    shown += textbook_pictures(library, mirror)
    for fen in _SQUARE:
        board = turned(chess.Board(fen), mirror)
        corners = square_corners(board)
        text = words.square_of_pawn(*(chess.square_name(square) for square in (corners[0], corners[-1])))
        picture = marked(
            board,
            words.example_caption(text, chess.COLOR_NAMES[board.turn], library.tables.value(board).outcome != 0),
            stars=corners,
        )
        shown.append(Example(ExampleKind.SQUARE, len(library.plan.stages), picture))
    return shown


def square_corners(board: chess.Board) -> list[chess.Square]:
    """Return the corners of the square of White's pawn on the side of Black's king, the pawn's own first."""
    pawn, king = _pawn(board), board.king(chess.BLACK)
    assert king is not None
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    away = 7 - rank if chess.square_file(king) >= file else rank - 7
    return [
        chess.square(column, row) for column, row in ((file, rank), (file, 7), (file + away, rank), (file + away, 7))
    ]


def _pawn(board: chess.Board) -> chess.Square:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    return pawn
