"""What every textbook shows of an ending, and from which squares a king is near enough, as the ladder's plan names it.

What each position is worth, and from which squares the king wins, comes from the tables.
"""

from __future__ import annotations

import chess

from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.taught import Example, ExampleKind
from matebot.wording import lesson as words

#: Draws, and where a king is near enough, belong to the stage in which it is brought.
_ZONE_STAGE = 2


def textbook_pictures(library: ByLadder, mirror: bool) -> list[Example]:
    """Return the pictures of a ladder, in the order in which they are taught; none where it names none."""
    kind = ExampleKind.AGAINST_MAN if library.material.black else ExampleKind.PAWN_PLAY
    shown = []
    for known in library.plan.pictures:
        board = turned(chess.Board(known.fen), mirror)
        won = library.tables.value(board).outcome != 0
        caption = words.example_caption(known.text, chess.COLOR_NAMES[board.turn], won)
        stage = known.stage or library.stage_of(board) or _ZONE_STAGE
        shown.append(Example(kind, stage, marked(board, caption)))
    for text, fen in library.plan.near_enough:
        board = turned(chess.Board(fen), mirror)
        picture = marked(board, words.near_enough_caption(text), stars=near_enough(library, board), bare=True)
        shown.append(Example(ExampleKind.NEAR_ENOUGH, _ZONE_STAGE, picture))
    return shown


def near_enough(library: ByLadder, board: chess.Board) -> list[chess.Square]:
    """Return the squares from which White's king wins, all else as it is."""
    king = board.king(chess.WHITE)
    assert king is not None
    found = []
    for square in chess.SQUARES:
        moved = board.copy(stack=False)
        moved.remove_piece_at(king)
        if moved.piece_at(square) is None:
            moved.set_piece_at(square, chess.Piece(chess.KING, chess.WHITE))
            if moved.is_valid() and library.tables.value(moved).outcome > 0:
                found.append(square)
    return found
