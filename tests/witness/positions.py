"""Legal positions of an ending as `chess.Board`: drawn at random, or all. Whether they are legal, python-chess says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from random import Random

import chess

#: A man and the colour of its owner.
Man = tuple[chess.PieceType, chess.Color]

_PIECES = {man: chess.Piece(*man) for man in product(chess.PIECE_TYPES, chess.COLORS)}

#: One square of every eight that reflections and turns of the board carry into each other.
TRIANGLE = tuple(s for s in chess.SQUARES if chess.square_rank(s) <= chess.square_file(s) <= 3)
#: One square of every two that the reflection left to right carries into each other.
LEFT_HALF = tuple(s for s in chess.SQUARES if chess.square_file(s) <= 3)
PAWN_SQUARES = tuple(s for s in chess.SQUARES if 0 < chess.square_rank(s) < 7)


def men_of(ending: str, first: chess.Color = chess.WHITE) -> tuple[Man, ...]:
    """Return the men of an ending written like ``KBNK``, the side written first playing the given colour."""
    at = ending.rindex("K")
    return tuple(
        (chess.PIECE_SYMBOLS.index(letter.lower()), first if index < at else not first)
        for index, letter in enumerate(ending)
    )


def board_of(
    men: Sequence[Man], squares: Sequence[chess.Square], turn: chess.Color, passed: chess.Square | None = None
) -> chess.Board:
    """Return a board with men on squares; `passed` is the en passant square."""
    board = chess.Board(None)
    board.set_piece_map({square: _PIECES[man] for man, square in zip(men, squares, strict=True)})
    board.turn = turn
    board.ep_square = passed
    return board


def random_positions(ending: str, count: int, seed: int) -> Iterator[chess.Board]:
    """Yield legal positions of an ending, either colour having the men written first, either side to move."""
    random = Random(f"{ending} {seed}")
    while count:
        men = men_of(ending, random.random() < 0.5)
        squares = random.sample(chess.SQUARES, len(men))
        board = board_of(men, squares, random.random() < 0.5)
        if board.is_valid():
            count -= 1
            yield board


def random_en_passant_positions(count: int, seed: int) -> Iterator[chess.Board]:
    """Yield legal positions of king and pawn against king and pawn in which a pawn may be captured en passant."""
    random = Random(f"en passant {seed}")
    places = list(_double_steps())
    while count:
        mover, passed, victim, captor = random.choice(places)
        men = men_of("KPKP", mover)
        kings = random.sample(chess.SQUARES, 2)
        board = board_of(men, (kings[0], captor, kings[1], victim), mover, passed)
        if chess.popcount(board.occupied) == 4 and board.is_valid() and board.has_legal_en_passant():
            count -= 1
            yield board


def _double_steps() -> Iterator[tuple[chess.Color, chess.Square, chess.Square, chess.Square]]:
    """Yield (side to move, square passed, pawn that made the double step, pawn that may capture it)."""
    for mover, file in product(chess.COLORS, range(8)):
        passed_rank, pawn_rank = (5, 4) if mover == chess.WHITE else (2, 3)
        for side in (file - 1, file + 1):
            if 0 <= side < 8:
                captor = chess.square(side, pawn_rank)
                yield mover, chess.square(file, passed_rank), chess.square(file, pawn_rank), captor


def every_position(ending: str, first: chess.Color = chess.WHITE) -> Iterator[chess.Board]:
    """Yield the legal positions of an ending, either side to move, up to symmetry of the board.

    The king of the side written last stays in one of the regions that symmetry carries into each other; every
    other man goes everywhere. En passant is left out.
    """
    men = men_of(ending, first)
    last = ending.rindex("K")
    home = LEFT_HALF if "P" in ending else TRIANGLE
    ranges: list[Sequence[chess.Square]] = [
        home if index == last else PAWN_SQUARES if man == chess.PAWN else chess.SQUARES
        for index, (man, _) in enumerate(men)
    ]
    # Men that are alike stand in ascending order, or each position would come twice.
    alike = [index for index in range(1, len(men)) if men[index] == men[index - 1]]
    for squares in product(*ranges):
        if len(set(squares)) < len(squares) or any(squares[i] < squares[i - 1] for i in alike):
            continue
        board = board_of(men, squares, chess.WHITE)
        for turn in chess.COLORS:
            board.turn = turn
            if board.is_valid():
                yield board.copy(stack=False)
