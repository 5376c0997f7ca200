"""Pieces against a man in pictures: what every textbook shows, and where a king is near enough.

What each position is worth, and from which squares the king wins, comes from the tables.
"""

from __future__ import annotations

import chess

from matebot.lessons.marking import marked
from matebot.lessons.model_game import ByLadder, turned
from matebot.lessons.taught import Example, ExampleKind
from matebot.wording import lesson as words

#: By ending, what every textbook shows (common practice, no source): what it is, the position.
_EXAMPLES = {
    "KQKP": (
        (words.PIN, "8/8/6K1/8/8/8/3kp2Q/8 b - - 0 1"),
        (words.FORCED_IN_FRONT, "8/8/6K1/8/8/3Q4/4p3/3k4 b - - 0 1"),
        (words.STEP_NEARER, "8/8/6K1/8/8/3Q4/4p3/4k3 w - - 0 1"),
        (words.BISHOPS_PAWN, "8/6K1/8/8/8/1Q6/2p5/k7 w - - 0 1"),
    ),
    "KRKP": (
        (words.CUT_FROM_PAWN, "8/8/4k3/R7/3p4/8/8/6K1 w - - 0 1"),
        (words.PAWN_ESCORTED, "8/8/8/8/8/2kp4/8/3R3K w - - 0 1"),
        (words.KING_IN_TIME, "8/8/8/8/8/2kp4/8/3R1K2 w - - 0 1"),
    ),
    "KQKR": (
        (words.ROOK_MUST_LEAVE, "1k6/1r6/2K5/Q7/8/8/8/8 b - - 0 1"),
        (words.PASS_THE_MOVE, "1k6/1r6/2K5/Q7/8/8/8/8 w - - 0 1"),
    ),
    "KRPKR": (
        (words.ROOK_TO_FOURTH, "3K4/3P2k1/8/8/8/8/2r5/5R2 w - - 0 1"),
        (words.KING_COMES_OUT, "3K4/3P2k1/8/8/5R2/8/8/2r5 w - - 0 1"),
        (words.TOWARDS_ROOK, "8/3PK1k1/8/8/5R2/8/8/4r3 w - - 0 1"),
        (words.BRIDGE, "8/3P2k1/8/3K4/3R4/8/8/3r4 b - - 0 1"),
    ),
}
#: Rook's pawn and bishop's pawn, White to move; where the queen stands makes no difference to the squares marked.
NEAR_ENOUGH = {
    "KQKP": (
        (words.ROOKS_ZONE, "5Q2/8/8/8/2K5/8/pk6/8 w - - 0 1"),
        (words.BISHOPS_ZONE, "5Q2/8/8/8/1K6/8/1kp5/8 w - - 0 1"),
    )
}
#: Draws, and where a king is near enough, belong to the stage in which it is brought.
_ZONE_STAGE = 2
#: The last stage of queen against pawn at its end, which a game may pass over: the pawn is attacked twice.
FALLING = "8/8/8/8/8/3KQ3/4p3/5k2 w - - 0 1"
#: The last stage of rook and pawn against rook: the bridge stands.
BRIDGED = "8/3P2k1/8/3K4/3R4/8/8/2r5 w - - 0 1"


def man_pictures(library: ByLadder, mirror: bool) -> list[Example]:
    """Return the pictures of an ending, in the order in which they are taught; none where it has no such pictures."""
    shown = []
    for text, fen in _EXAMPLES.get(library.plan.ending, ()):
        board = turned(chess.Board(fen), mirror)
        stage = library.stage_of(board)
        caption = words.example_caption(text, chess.COLOR_NAMES[board.turn], stage > 0)
        shown.append(Example(ExampleKind.AGAINST_MAN, stage or _ZONE_STAGE, marked(board, caption)))
    for text, fen in NEAR_ENOUGH.get(library.plan.ending, ()):
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
