"""Many positions of one ending at once, forwards: arrays of squares and the moves from them.

A second way through the rules beside the solver's backward moves: it works position by position.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import squares_of
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION

Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Crowd:
    """Positions as arrays of squares of equal length."""

    white_king: Numbers
    black_king: Numbers
    men: tuple[Numbers, ...]


class Layout:
    """Where positions stand in the flat reduced layout of an ending's tables."""

    def __init__(self, material: Material) -> None:
        self.material = material
        reduction = REDUCTION[material.has_pawns]
        self._mapped = np.array([square for row in reduction.mapped for square in row], dtype=np.int64)
        self._class = np.array(reduction.king_class, dtype=np.int64)
        self._home = np.array(reduction.home, dtype=np.int64)
        sizes = tuple(len(squares_of(man)) for man, _ in material.men)
        self.shape = (len(reduction.home), 64, *sizes)

    def index(self, crowd: Crowd) -> Numbers:
        """Return the places of positions; meaningless where a pawn is off its ranks."""
        king = crowd.white_king * 64
        place: Numbers = self._class[crowd.white_king] * 64 + self._mapped[king + crowd.black_king]
        for squares, (man, _) in zip(crowd.men, self.material.men, strict=True):
            first, size = (8, 48) if man == "P" else (0, 64)
            at = self._mapped[king + squares]
            place = place * size + (np.clip(at - first, 0, size - 1) if first else at)
        return place

    def positions(self, places: Numbers) -> Crowd:
        """Return the squares behind places."""
        king, black, *men = np.unravel_index(places, self.shape)
        squares = tuple(
            squares_of(man)[number].astype(np.int64) for (man, _), number in zip(self.material.men, men, strict=True)
        )
        return Crowd(self._home[king], black.astype(np.int64), squares)

    def weights(self, size: int) -> NDArray[np.float64]:
        """Return how many placements of the whole board each place stands for."""
        sizes = np.bincount(self._class, minlength=len(self._home)).astype(np.float64)
        return np.repeat(sizes, size // len(sizes))


def white_moves(material: Material, crowd: Crowd) -> Iterator[tuple[Crowd, NDArray[np.bool_]]]:
    """Yield every quiet move of White's king and men: positions after it and where it can be made.

    Whether a move leaves White's king in check, or lands on another man, is for the tables to tell.
    """
    for target, on_board in steps(crowd.white_king, geo.ORTHOGONALS + geo.DIAGONALS):
        yield (
            Crowd(target, crowd.black_king, crowd.men),
            on_board & ~occupied(crowd, target),
        )
    for number, (man, white) in enumerate(material.men):
        if white:
            for target, usable in _targets(crowd, number, man):
                men = (*crowd.men[:number], target, *crowd.men[number + 1 :])
                yield (
                    Crowd(crowd.white_king, crowd.black_king, men),
                    usable & ~occupied(crowd, target),
                )


def _targets(crowd: Crowd, number: int, man: str) -> Iterator[tuple[Numbers, NDArray[np.bool_]]]:
    source = crowd.men[number]
    if man == "N":
        yield from steps(source, geo.LEAPS)
    elif man == "P":
        free = ~occupied(crowd, np.minimum(source + 8, 63))
        yield np.minimum(source + 8, 55), free & (source < 48)
        yield np.minimum(source + 16, 55), free & (source < 16)
    else:
        for direction in geo.RAYS_OF[man]:
            at, open_ = source, np.ones(len(source), dtype=np.bool_)
            for _ in range(7):
                ((at, on_board),) = steps(at, (direction,))
                open_ = open_ & on_board
                yield at, open_
                open_ = open_ & ~occupied(crowd, at)


def steps(source: Numbers, directions: tuple[tuple[int, int], ...]) -> Iterator[tuple[Numbers, NDArray[np.bool_]]]:
    """Yield one step in each direction: target squares and whether they are on the board."""
    rank, file = source // 8, source % 8
    for rank_step, file_step in directions:
        to_rank, to_file = rank + rank_step, file + file_step
        inside = (to_rank >= 0) & (to_rank < 8) & (to_file >= 0) & (to_file < 8)
        yield np.where(inside, to_rank * 8 + to_file, 0), inside


def occupied(crowd: Crowd, square: Numbers) -> NDArray[np.bool_]:
    """Tell where a square is taken by a king or a man."""
    taken: NDArray[np.bool_] = (square == crowd.white_king) | (square == crowd.black_king)
    for man in crowd.men:
        taken = taken | (square == man)
    return taken
