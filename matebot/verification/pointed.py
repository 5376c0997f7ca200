"""The part of a sample that is not left to chance: where tables that are wrong in any large way show it.

All mates and stalemates, found without the tables (of the endings that have very many a large share); positions one
move before them; some positions of every distance the tables tell, the longest wins among them; and one position out
of every row of the tables. With five men, whose tables are too large to be read for a sample, all this with the kings
on some squares only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from random import Random

import chess
import numpy as np
from numpy.typing import NDArray

from matebot.solver.codes import DRAW, ILLEGAL, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import row_bytes
from matebot.solver.tables import METRICS, Tables
from matebot.verification.ends import stuck
from matebot.verification.positions import kings, placed

#: At most so many mates and stalemates with one side to move, and positions before them.
_ENDS, _BEFORE = 4_000, 400
#: With five men they are looked for with the kings on so many pairs of squares only, distances in fewer, rows in more.
_PAIRS, _PAIRS_TOLD, _PAIRS_SEEN = 60, 16, 200
#: Positions of each distance told, and of the longest for either winner.
_OF_EACH, _LONGEST = 6, 40
#: How often a legal position is looked for in a row.
_TRIES = 40


def pointed(tables: Tables, material: Material, white_to_move: bool, seed: str) -> Iterator[chess.Board]:
    """Yield the positions of an ending with the stronger side or the other to move; as White or as Black by chance."""
    random = Random(f"{material.name} {white_to_move} {seed}")
    every = kings(material)
    pairs = random.sample(every, _PAIRS) if is_large(material) else every
    boards = list(ends(material, white_to_move, random, pairs))
    seen = random.sample(every, _PAIRS_SEEN) if is_large(material) else every
    positions = [*boards, *told(tables, material, white_to_move, random), *rows(material, white_to_move, random, seen)]
    for board in positions:
        yield board if random.random() < 0.5 else board.mirror()
    for board in random.sample(boards, min(_BEFORE, len(boards))):
        yield from islice(before(board, random), 1)


def ends(
    material: Material, white_to_move: bool, random: Random, pairs: Sequence[tuple[chess.Square, chess.Square]] = ()
) -> Iterator[chess.Board]:
    """Yield all mates and stalemates, the stronger side White; where there are too many, some by chance.

    `pairs` are the squares of the kings, by default all up to symmetry.
    """
    found = []
    for white_king, black_king in pairs or kings(material):
        squares = stuck(material, white_to_move, white_king, black_king)
        found.append(np.insert(squares, [0], [white_king, black_king], axis=1))
    every = np.concatenate(found)
    chosen = range(len(every)) if len(every) <= _ENDS else sorted(random.sample(range(len(every)), _ENDS))
    for number in chosen:
        board = placed(material, every[number].tolist(), False, white_to_move)
        if board is not None and not any(board.generate_legal_moves()):
            yield board


def before(board: chess.Board, random: Random) -> Iterator[chess.Board]:
    """Yield positions in which a move that takes nothing leads to this one."""
    mover = not board.turn
    men = chess.SquareSet(board.occupied_co[mover])
    origins = [(square, origin) for square in men for origin in _origins(board, square)]
    random.shuffle(origins)
    for square, origin in origins:
        earlier = board.copy(stack=False)
        earlier.turn = mover
        piece = earlier.remove_piece_at(square)
        assert piece is not None
        earlier.set_piece_at(origin, piece)
        if earlier.is_valid():
            yield earlier


def _origins(board: chess.Board, square: chess.Square) -> list[chess.Square]:
    """Return the empty squares from which a man may have come, by a move that takes nothing."""
    if board.piece_type_at(square) != chess.PAWN:
        return list(board.attacks(square) & ~board.occupied)
    origin = square + (-8 if board.color_at(square) else 8)
    return [origin] if chess.square_rank(origin) not in (0, 7) and board.piece_at(origin) is None else []


def told(tables: Tables, material: Material, white_to_move: bool, random: Random) -> Iterator[chess.Board]:
    """Yield some legal positions of every distance the tables tell, and more of the longest wins of either side."""
    numbers = _numbers(tables, material, random)
    for metric in METRICS:
        rows = _rows(tables, material, white_to_move, metric, numbers)
        counts = np.stack([np.bincount(row, minlength=ILLEGAL + 1) for row in rows])
        totals = counts.sum(axis=0).tolist()
        present = [code for code in range(ILLEGAL) if totals[code]]
        longest = {max((c for c in present if c < DRAW), default=-1), min((c for c in present if c > DRAW), default=-1)}
        for code in present:
            wanted = _LONGEST if code in longest else _OF_EACH
            chosen = random.sample(range(totals[code]), min(totals[code], wanted))
            places = np.array([_place(rows, counts[:, code], code, rank) for rank in chosen])
            row, place = np.divmod(places, row_bytes(material))
            yield from _boards(material, numbers[row] * row_bytes(material) + place, white_to_move)


def _numbers(tables: Tables, material: Material, random: Random) -> NDArray[np.int64]:
    """Return the numbers of the rows in which distances are looked for."""
    if not is_large(material):
        return np.arange(tables.rows(material))
    homes = REDUCTION[material.has_pawns].home
    return np.array([homes.index(king) * 64 + other for king, other in random.sample(kings(material), _PAIRS_TOLD)])


def _rows(tables: Tables, material: Material, white_to_move: bool, metric: str, numbers: NDArray[np.int64]) -> Codes:
    """Return some rows of the codes."""
    if not is_large(material):
        return tables.codes(material, white_to_move, metric).reshape(-1, row_bytes(material))
    return np.stack([tables.whole_row(material, white_to_move, number, metric) for number in numbers.tolist()])


def _place(rows: Codes, counts: NDArray[np.int64], code: int, rank: int) -> int:
    """Return the place of one of the positions with a code, counted in the order of the table."""
    before = np.cumsum(counts)
    row = int(np.searchsorted(before, rank, side="right"))
    there = np.flatnonzero(rows[row] == code)
    return int(row * rows.shape[1] + there[rank - (before[row] - len(there))])


def rows(
    material: Material, white_to_move: bool, random: Random, pairs: Sequence[tuple[chess.Square, chess.Square]]
) -> Iterator[chess.Board]:
    """Yield a legal position of every row of the tables that has the kings on given squares, if one is found soon."""
    axes = [squares_of(man).tolist() for man, _ in material.men]
    for pair in pairs:
        for _ in range(_TRIES):
            board = placed(material, [*pair, *map(random.choice, axes)], False, white_to_move)
            if board is not None:
                yield board
                break


def _boards(material: Material, numbers: NDArray[np.intp], white_to_move: bool) -> Iterator[chess.Board]:
    """Yield the legal positions behind places of a table."""
    homes = REDUCTION[material.has_pawns].home
    axes = [squares_of(man) for man, _ in material.men]
    king, black_king, *men = np.unravel_index(numbers, (len(homes), 64, *map(len, axes)))
    squares = [np.array(homes)[king], black_king, *(axis[place] for axis, place in zip(axes, men, strict=True))]
    for those in np.stack(squares, axis=-1).tolist():
        board = placed(material, those, False, white_to_move)
        if board is not None:
            yield board
