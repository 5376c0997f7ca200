"""A pawn in pictures: key squares, opposition, rook's pawn, stalemate, the square of the pawn.

What each position is worth comes from the tables, with either side to move where that is what matters.
"""

from __future__ import annotations

import chess

from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.taught import Example, ExampleKind
from matebot.method.squares import key_squares
from matebot.wording import lesson as words

#: What every textbook shows (common practice, no source): the stage in which it is taught, what it is, the position.
_EXAMPLES: dict[str, tuple[tuple[int, str, str], ...]] = {
    "KPK": (
        (1, words.OPPOSITION, "8/4k3/8/4K3/4P3/8/8/8 b - - 0 1"),
        (1, words.OPPOSITION, "8/4k3/8/4K3/4P3/8/8/8 w - - 0 1"),
        (2, words.SIXTH_RANK, "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1"),
        (2, words.NO_SQUARE_LEFT, "4k3/4P3/4K3/8/8/8/8/8 b - - 0 1"),
        (2, words.ROOKS_PAWN, "k7/8/1K6/P7/8/8/8/8 w - - 0 1"),
    ),
    "KBPK": (
        (1, words.WRONG_CORNER, "7k/8/6K1/7P/4B3/8/8/8 w - - 0 1"),
        (1, words.RIGHT_CORNER, "7k/8/6K1/7P/8/8/8/2B5 w - - 0 1"),
    ),
    "KNPK": (
        (1, words.KNIGHT_BEHIND, "8/8/2kP4/1N6/8/8/8/K7 b - - 0 1"),
        (1, words.KNIGHT_BEFORE, "8/8/1N6/2kP4/8/8/8/K7 b - - 0 1"),
        (2, words.FROZEN_KNIGHT, "8/Pk6/8/1N6/8/8/3K4/8 w - - 0 1"),
    ),
}
_SQUARE = ("8/8/8/6k1/1P6/8/8/7K w - - 0 1", "8/8/8/6k1/1P6/8/8/7K b - - 0 1")
#: The last stage at its end, which no game by the method may show before the pawn is a queen.
RUNNING = "8/1P6/8/6k1/8/8/8/7K w - - 0 1"


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
        picture = marked(board, words.example_caption(text, _side(board), _won(library, board)), stars=corners)
        shown.append(Example(ExampleKind.SQUARE, len(library.plan.stages), picture))
    return shown


def textbook_pictures(library: ByLadder, mirror: bool) -> list[Example]:
    """Return what every textbook shows of an ending with a pawn, and what comes out; nothing of other endings."""
    shown = []
    for stage, text, fen in _EXAMPLES.get(library.plan.ending, ()):
        board = turned(chess.Board(fen), mirror)
        picture = marked(board, words.example_caption(text, _side(board), _won(library, board)))
        shown.append(Example(ExampleKind.PAWN_PLAY, stage, picture))
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


def _side(board: chess.Board) -> str:
    return chess.COLOR_NAMES[board.turn]


def _won(library: ByLadder, board: chess.Board) -> bool:
    return library.tables.value_of(library.tables.stand(board)[0]).outcome != 0
