"""Check solved endings with python-chess's moves on the user's own machine: each value against those one move later.

Where every position agrees with its successors, and mates are python-chess's mates, every value is right.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from random import Random

import chess

from matebot.solver.codes import squares_of
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION
from matebot.solver.tables import Tables, Value


def disagreement(board: chess.Board, tables: Tables) -> str | None:
    """Return how a position disagrees with its successors (expected and got), None when it agrees."""
    expected, found = _expected(board, tables), tables.value(board)
    return None if expected == found else f"{board.fen()}: expected {expected}, got {found}"


def _expected(board: chess.Board, tables: Tables) -> Value:
    losses: list[tuple[int, int]] = []
    wins: list[tuple[int, int]] = []
    drawn = False
    moves = list(board.legal_moves)
    if not moves:
        return Value(-1, 0, 0) if board.is_check() else Value(0, None, None)
    for move in moves:
        zeroing = board.is_zeroing(move)
        board.push(move)
        child, mated = tables.value(board), board.is_checkmate()
        board.pop()
        if child.dtm_plies is None or child.dtz_plies is None:
            drawn = True
        else:
            leg = 1 if zeroing or mated else 1 + child.dtz_plies
            (losses if child.outcome < 0 else wins).append((1 + child.dtm_plies, leg))
    if losses:
        return Value(1, min(dtm for dtm, _ in losses), min(leg for _, leg in losses))
    if drawn:
        return Value(0, None, None)
    return Value(-1, max(dtm for dtm, _ in wins), max(leg for _, leg in wins))


def _placed(material: Material, squares: tuple[int, ...], swapped: bool, turn: chess.Color) -> chess.Board:
    board = chess.Board(None)
    men = [("K", True), ("K", False), *material.men]
    for (man, white), square in zip(men, squares, strict=True):
        piece = chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white != swapped)
        board.set_piece_at(square, piece)
    board.turn = turn
    return board


def sample(material: Material, count: int, seed: int) -> Iterator[chess.Board]:
    """Yield random legal positions, either colour strong and either side to move."""
    random = Random(f"{material.name} {seed}")
    while count:
        squares = tuple(random.sample(range(64), len(material.men) + 2))
        board = _placed(material, squares, random.random() < 0.5, random.random() < 0.5)
        if board.is_valid():
            count -= 1
            yield board


def every(material: Material) -> Iterator[chess.Board]:
    """Yield all legal positions up to symmetry, the stronger side White, either side to move."""
    ranges = [REDUCTION[material.has_pawns].home, range(64), *(squares_of(man).tolist() for man, _ in material.men)]
    for squares in product(*ranges):
        if len(set(squares)) == len(squares):
            for turn in chess.COLORS:
                board = _placed(material, squares, False, turn)
                if board.is_valid():
                    yield board
