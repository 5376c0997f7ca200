"""Check solved endings with python-chess's moves on the user's own machine: each value against those one move later.

Where every position agrees with its successors, and mates are python-chess's mates, every value is right: a distance
is one more than a smaller one down to mate, and who stands in a draw always has a move that stays in it.
Never looks at how the values were worked out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from random import Random

import chess

from matebot.solver.codes import squares_of
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION
from matebot.solver.tables import Tables, Value

#: How many disagreements are put into words.
SHOWN = 5
#: Of so many positions sampled with a pawn on each side, one has them where a capture en passant may be possible.
_ONE_IN = 4


@dataclass(frozen=True, slots=True)
class Finding:
    """How many positions were looked at, how many disagree with their successors, and the first of those in words."""

    positions: int = 0
    faults: int = 0
    shown: tuple[str, ...] = ()

    def __add__(self, other: Finding) -> Finding:
        shown = (*self.shown, *other.shown)[:SHOWN]
        return Finding(self.positions + other.positions, self.faults + other.faults, shown)


def examine(boards: Iterable[chess.Board], tables: Tables) -> Finding:
    """Hold positions against their successors."""
    positions = faults = 0
    shown: list[str] = []
    for board in boards:
        positions += 1
        fault = disagreement(board, tables)
        if fault is not None:
            faults += 1
            if faults <= SHOWN:
                shown.append(fault)
    return Finding(positions, faults, tuple(shown))


def disagreement(board: chess.Board, tables: Tables) -> str | None:
    """Return how a position disagrees with its successors (FEN, expected, got), None when it agrees."""
    expected, found = _expected(board, tables), tables.value(board)
    if expected == found:
        return None
    return f"{board.fen(en_passant='fen')}: expected {_words(expected)}, got {_words(found)}"


def _words(value: Value) -> str:
    if value.outcome == 0 and value.dtm_plies is None and value.dtz_plies is None:
        return "drawn"
    outcome = {1: "won", 0: "drawn", -1: "lost"}[value.outcome]
    return f"{outcome}, mate in {value.dtm_plies} plies, capture, pawn move or mate in {value.dtz_plies}"


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


def sample(material: Material, count: int, seed: str) -> Iterator[chess.Board]:
    """Yield random legal positions, either colour strong, either side to move, captures en passant among them."""
    random = Random(f"{material.name} {seed}")
    men = len(material.men) + 2
    facing = material.white == material.black == "P"
    while count:
        turn = random.random() < 0.5
        squares = random.sample(range(64), men)
        if facing and random.randrange(_ONE_IN) == 0:
            squares[2:] = random.sample(_side_by_side(random.randrange(7), turn), 2)
        board = _placed(material, squares, random.random() < 0.5, turn)
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

    Two men of a kind are put on two squares once; a position is followed by those in which a capture en passant is
    possible.
    """
    same = len(material.men) == 2 and material.men[0] == material.men[1]
    for squares in product(*(squares_of(man).tolist() for man, _ in material.men)):
        if same and squares[0] > squares[1]:
            continue
        for turn in chess.COLORS:
            board = _placed(material, [white_king, black_king, *squares], False, turn)
            if board is not None:
                yield board
                yield from _just_passed(board)


def _placed(material: Material, squares: list[chess.Square], swapped: bool, turn: chess.Color) -> chess.Board | None:
    """Return a position, None where it is not legal."""
    if len(set(squares)) < len(squares):
        return None
    board = chess.Board(None)
    men = [("K", True), ("K", False), *material.men]
    for (man, white), square in zip(men, squares, strict=True):
        piece = chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white != swapped)
        board.set_piece_at(square, piece)
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
