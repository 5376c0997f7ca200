"""Many positions of one ending at once, forwards: arrays of squares and the moves from them.

A second way through the rules beside the solver's backward moves: it works position by position.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from matebot.records import dataclass
from matebot.solver import geometry as geo
from matebot.solver.codes import PAWN_RANKS, squares_at
from matebot.solver.material import PROMOTIONS, Material
from matebot.solver.symmetry import REDUCTION

Numbers = NDArray[np.int64]
#: The men beside the kings: (man, is White's).
Men = tuple[tuple[str, bool], ...]


@dataclass(frozen=True)
class Batch:
    """Positions as arrays of squares of equal length."""

    white_king: Numbers
    black_king: Numbers
    men: tuple[Numbers, ...]

    @cached_property
    def occupied(self) -> geo.Words:
        """The squares taken by kings and men, a bit each."""
        every = np.array((self.white_king, self.black_king, *self.men), np.uint64)
        taken: geo.Words = np.bitwise_or.reduce(np.uint64(1) << every, axis=0)
        return taken

    def at(self, rows: Numbers | NDArray[np.bool_]) -> Batch:
        """Return some of the positions."""
        return Batch(self.white_king[rows], self.black_king[rows], tuple(squares[rows] for squares in self.men))

    def moved(self, mover: int | None, target: Numbers, white: bool) -> Batch:
        """Return the positions with a man, or a side's king (None), on other squares."""
        if mover is None:
            return Batch(target, self.black_king, self.men) if white else Batch(self.white_king, target, self.men)
        return Batch(self.white_king, self.black_king, (*self.men[:mover], target, *self.men[mover + 1 :]))

    def canonical(self, men: Men) -> tuple[Material, bool, Batch]:
        """Return these positions as the tables have them: the ending, whether colours are exchanged, the positions.

        Parameters
        ----------
        men : what the men are, at least one
        """
        names = {side: "".join(man for man, colour in men if colour == side) for side in (True, False)}
        material, swapped = Material.of(names[True], names[False])
        turn, free, squares = 56 if swapped else 0, list(range(len(men))), []
        for man, colour in material.men:
            number = next(number for number in free if men[number] == (man, colour != swapped))
            free.remove(number)
            squares.append(self.men[number] ^ turn)
        kings = (self.white_king ^ turn, self.black_king ^ turn)
        return material, swapped, Batch(kings[swapped], kings[not swapped], tuple(squares))


class Layout:
    """Where positions stand in the flat reduced layout of an ending's tables.

    `ranks` : the ranks before promotion, so many, on which every pawn stands
    """

    def __init__(self, material: Material, ranks: int = PAWN_RANKS) -> None:
        self.material = material
        reduction = REDUCTION[material.has_pawns]
        self._mapped = np.array([square for row in reduction.mapped for square in row], dtype=np.int64)
        self._class = np.array(reduction.king_class, dtype=np.int64)
        self._home = np.array(reduction.home, dtype=np.int64)
        self._at = [squares_at(man, white, ranks).astype(np.int64) for man, white in material.men]
        self.shape = (len(reduction.home), 64, *map(len, self._at))

    def index(self, batch: Batch) -> Numbers:
        """Return the places of positions; meaningless where a pawn is off its ranks."""
        king = batch.white_king * 64
        place: Numbers = self._class[batch.white_king] * 64 + self._mapped[king + batch.black_king]
        for squares, of_man in zip(batch.men, self._at, strict=True):
            first, size = int(of_man[0]), len(of_man)
            at = self._mapped[king + squares]
            place = place * size + (np.clip(at - first, 0, size - 1) if first else at)
        return place

    def positions(self, places: Numbers) -> Batch:
        """Return the squares behind places."""
        king, black, *men = np.unravel_index(places, self.shape)
        squares = tuple(at[number] for at, number in zip(self._at, men, strict=True))
        return Batch(self._home[king], black.astype(np.int64), squares)

    def after(
        self, places: Numbers, batch: Batch, mover: int | None, rows: Numbers, target: Numbers, white: bool
    ) -> Numbers:
        """Return the places of some positions after a quiet move; `places` are those of all before it."""
        if mover is None and white:  # the board may have to be turned
            return self.index(batch.at(rows).moved(None, target, True))
        axis, source = (1, batch.black_king) if mover is None else (2 + mover, batch.men[mover])
        stride = math.prod(self.shape[axis + 1 :])
        return places[rows] + (target - source[rows]) * stride

    def weights(self, size: int) -> NDArray[np.float64]:
        """Return how many placements of the whole board each place stands for."""
        sizes = np.bincount(self._class, minlength=len(self._home)).astype(np.float64)
        return np.repeat(sizes, size // len(sizes))


def quiet_moves(layout: Layout, places: Numbers, white: bool) -> Iterator[tuple[Numbers, Numbers]]:
    """Yield every quiet move of a side, no promotion: which of the positions have it, and the places after it.

    Whether a move leaves the side's king in check is for the tables to tell.
    """
    batch = layout.positions(places)
    for mover, rows, target in _reaches(layout.material, batch, white):
        if mover is None or layout.material.men[mover][0] != "P":
            rows, target = _free(batch, rows, target)
            yield rows, layout.after(places, batch, mover, rows, target, white)
    for number in _pawns(layout.material, white):
        ahead, home, last = (8, 1, 6) if white else (-8, 6, 1)
        rank = batch.men[number] // 8
        rows = np.flatnonzero(rank != last)
        for _ in range(2):  # a step, and from the pawn's first rank another
            rows, target = _free(batch, rows, batch.men[number][rows] + ahead)
            yield rows, layout.after(places, batch, number, rows, target, white)
            rows, ahead = rows[rank[rows] == home], 2 * ahead


def leaving_moves(material: Material, batch: Batch, white: bool) -> Iterator[tuple[Men, Numbers, Batch]]:
    """Yield every capture and promotion of a side, en passant apart: men left, which positions have it, those after."""
    victims = [victim for victim, (_, colour) in enumerate(material.men) if colour != white]
    for mover, rows, target in _reaches(material, batch, white) if victims else ():
        for victim in victims:
            taken = target == batch.men[victim][rows]
            yield from _arrived(material, batch, rows[taken], mover, victim, target[taken], white)
    for number in _pawns(material, white):
        rows = np.flatnonzero(batch.men[number] // 8 == (6 if white else 1))
        rows, target = _free(batch, rows, batch.men[number][rows] + (8 if white else -8))
        yield from _arrived(material, batch, rows, number, None, target, white)


def _arrived(
    material: Material,
    before: Batch,
    rows: Numbers,
    mover: int | None,
    victim: int | None,
    target: Numbers,
    white: bool,
) -> Iterator[tuple[Men, Numbers, Batch]]:
    """Yield what a move leads to, without the man taken; a pawn on its last rank becomes each other man in turn."""
    batch = before.at(rows).moved(mover, target, white)
    left = [number for number in range(len(material.men)) if number != victim]
    after = Batch(batch.white_king, batch.black_king, tuple(batch.men[number] for number in left))
    pawn = mover is not None and material.men[mover][0] == "P"
    last = np.isin(target // 8, (0, 7)) if pawn else np.zeros(len(rows), np.bool_)
    yield tuple(material.men[number] for number in left), rows[~last], after.at(~last)
    for new in PROMOTIONS if pawn else "":
        men = tuple((new if number == mover else man, colour) for number, (man, colour) in enumerate(material.men))
        yield tuple(men[number] for number in left), rows[last], after.at(last)


def _pawns(material: Material, white: bool) -> Iterator[int]:
    yield from (number for number, man in enumerate(material.men) if man == ("P", white))


def _reaches(material: Material, batch: Batch, white: bool) -> Iterator[tuple[int | None, Numbers, Numbers]]:
    """Yield what the men of a side reach: man (None the king), which positions have the way free, target squares."""
    for direction in geo.ORTHOGONALS + geo.DIAGONALS:
        yield None, *step(batch.white_king if white else batch.black_king, direction)
    for number, (man, colour) in enumerate(material.men):
        if colour == white:
            for rows, target in _targets(batch, number, man, white):
                yield number, rows, target


def _targets(batch: Batch, number: int, man: str, white: bool) -> Iterator[tuple[Numbers, Numbers]]:
    source = batch.men[number]
    if man in geo.RAYS_OF:
        for direction in geo.RAYS_OF[man]:
            rows, at = step(source, direction)
            while rows.size:
                yield rows, at
                rows, at = _free(batch, rows, at)
                on_board, at = step(at, direction)
                rows = rows[on_board]
        return
    for direction in geo.LEAPS if man == "N" else ((1, -1), (1, 1)) if white else ((-1, -1), (-1, 1)):
        yield step(source, direction)


def step(source: Numbers, direction: tuple[int, int]) -> tuple[Numbers, Numbers]:
    """Return which squares have one in a direction (rank step, file step), and those they have."""
    rows = np.flatnonzero(_steps(direction)[source])
    return rows, source[rows] + (8 * direction[0] + direction[1])


@cache
def _steps(direction: tuple[int, int]) -> NDArray[np.bool_]:
    return np.array([geo.step(square, *direction) is not None for square in range(64)])


def _free(batch: Batch, rows: Numbers, target: Numbers) -> tuple[Numbers, Numbers]:
    """Return the positions, and squares in them, where the square is not taken by a king or a man."""
    free = batch.occupied[rows] >> target.astype(np.uint64) & np.uint64(1) == 0
    return rows[free], target[free]
