"""Legal positions to check: a random sample of an ending, or all of it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from random import Random

import chess

from matebot.solver.codes import squares_of
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION

_PIECES = {(piece.symbol().upper(), piece.color): piece for piece in map(chess.Piece.from_symbol, "KQRBNPkqrbnp")}

#: Of so many positions sampled with a pawn on each side, one has them where a capture en passant may be possible.
_ONE_IN = 4


def sample(material: Material, count: int, seed: str) -> Iterator[chess.Board]:
    """Yield random legal positions, either colour strong, either side to move, captures en passant among them."""
    random = Random(f"{material.name} {seed}")
    men = len(material.men) + 2
    pawns = [[2 + i for i, man in enumerate(material.men) if man == ("P", white)] for white in (True, False)]
    while count:
        turn = random.random() < 0.5
        squares = random.sample(range(64), men)
        if all(pawns) and random.randrange(_ONE_IN) == 0:
            squares[pawns[0][0]], squares[pawns[1][0]] = random.sample(_side_by_side(random.randrange(7), turn), 2)
        board = placed(material, squares, random.random() < 0.5, turn)
        if board is not None:
            count -= 1
            yield random.choice([board, *_just_passed(board)])


def _side_by_side(file: int, turn: chess.Color) -> tuple[chess.Square, chess.Square]:
    """Two squares beside each other on the rank where the side to move captures en passant."""
    left = chess.square(file, 4 if turn else 3)
    return left, left + 1


def kings(material: Material) -> list[tuple[chess.Square, chess.Square]]:
    """Return the placements of the two kings, up to symmetry: the parts in which `every` goes through an ending."""
    homes = REDUCTION[material.has_pawns].home
    return [(a, b) for a, b in product(homes, chess.SQUARES) if chess.square_distance(a, b) > 1]


def every(material: Material, white_king: chess.Square, black_king: chess.Square) -> Iterator[chess.Board]:
    """Yield all legal positions with the kings on these squares, the stronger side White, either side to move.

    Men of a kind are put on their squares once; a position is followed by those in which a capture en passant is
    possible.
    """
    alike = material.alike
    for squares in product(*(squares_of(man).tolist() for man, _ in material.men)):
        if any(list(squares[part]) != sorted(squares[part]) for part in alike):
            continue
        for turn in chess.COLORS:
            board = placed(material, [white_king, black_king, *squares], False, turn)
            if board is not None:
                yield board
                yield from _just_passed(board)


def placed(material: Material, squares: list[chess.Square], swapped: bool, turn: chess.Color) -> chess.Board | None:
    """Return a position, None where it is not legal.

    Parameters
    ----------
    squares : of the stronger side's king, the weaker side's, and the men in the order of the material
    swapped : whether the stronger side is Black
    """
    if len(set(squares)) < len(squares):
        return None
    board = chess.Board(None)
    men = [("K", True), ("K", False), *material.men]
    board.set_piece_map(
        {square: _PIECES[man, white != swapped] for (man, white), square in zip(men, squares, strict=True)}
    )
    board.turn = turn
    return board if board.is_valid() else None


def _just_passed(board: chess.Board) -> Iterator[chess.Board]:
    """Yield the position again for each pawn that may have made a double step and may be captured for it."""
    back = 8 if board.turn else -8
    for pawn in board.pieces(chess.PAWN, not board.turn):
        if chess.square_rank(pawn) == (4 if board.turn else 3):
            passed = board.copy(stack=False)
            passed.ep_square = pawn + back
            if passed.is_valid() and passed.has_legal_en_passant():
                yield passed
