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
from matebot.solver.material import PROMOTIONS, Material
from matebot.solver.symmetry import REDUCTION

Numbers = NDArray[np.int64]
#: The men beside the kings: (man, is White's).
Men = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Crowd:
    """Positions as arrays of squares of equal length."""

    white_king: Numbers
    black_king: Numbers
    men: tuple[Numbers, ...]

    def moved(self, mover: int | None, target: Numbers, white: bool) -> Crowd:
        """Return the positions with a man, or a side's king (None), on other squares."""
        if mover is None:
            return Crowd(target, self.black_king, self.men) if white else Crowd(self.white_king, target, self.men)
        return Crowd(self.white_king, self.black_king, (*self.men[:mover], target, *self.men[mover + 1 :]))

    def canonical(self, men: Men) -> tuple[Material, bool, Crowd]:
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
        return material, swapped, Crowd(kings[swapped], kings[not swapped], tuple(squares))


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


def quiet_moves(material: Material, crowd: Crowd, white: bool) -> Iterator[tuple[Crowd, NDArray[np.bool_]]]:
    """Yield every quiet move of a side, no promotion: positions after it and where it can be made.

    Whether a move leaves the side's king in check is for the tables to tell.
    """
    for mover, target, usable in _reaches(material, crowd, white):
        if mover is None or material.men[mover][0] != "P":
            yield crowd.moved(mover, target, white), usable & ~occupied(crowd, target)
    for number, source in _pawns(material, crowd, white):
        ahead, home, last = (8, 1, 6) if white else (-8, 6, 1)
        free = ~occupied(crowd, np.clip(source + ahead, 0, 63))
        yield crowd.moved(number, np.clip(source + ahead, 8, 55), white), free & (source // 8 != last)
        far = np.clip(source + 2 * ahead, 8, 55)
        yield crowd.moved(number, far, white), free & (source // 8 == home) & ~occupied(crowd, far)


def leaving_moves(material: Material, crowd: Crowd, white: bool) -> Iterator[tuple[Men, Crowd, NDArray[np.bool_]]]:
    """Yield every capture and promotion of a side, en passant apart: the men left, positions, where it can be made."""
    for mover, target, usable in _reaches(material, crowd, white):
        for victim, (_, colour) in enumerate(material.men):
            if colour != white:
                taken = usable & (target == crowd.men[victim])
                yield from _arrived(material, crowd.moved(mover, target, white), mover, victim, taken)
    for number, source in _pawns(material, crowd, white):
        target = np.clip(source + (8 if white else -8), 0, 63)
        free = ~occupied(crowd, target)
        for men, after, usable in _arrived(material, crowd.moved(number, target, white), number, None, free):
            if men != material.men:
                yield men, after, usable


def _arrived(
    material: Material, crowd: Crowd, mover: int | None, victim: int | None, usable: NDArray[np.bool_]
) -> Iterator[tuple[Men, Crowd, NDArray[np.bool_]]]:
    """Yield what a move leads to, without the man taken; a pawn on its last rank becomes each other man in turn."""
    left = [number for number in range(len(material.men)) if number != victim]
    after = Crowd(crowd.white_king, crowd.black_king, tuple(crowd.men[number] for number in left))
    pawn = mover is not None and material.men[mover][0] == "P"
    last = np.isin(crowd.men[mover] // 8, (0, 7)) if mover is not None and pawn else np.zeros_like(usable)
    yield tuple(material.men[number] for number in left), after, usable & ~last
    for new in PROMOTIONS if pawn else "":
        men = tuple((new if number == mover else man, colour) for number, (man, colour) in enumerate(material.men))
        yield tuple(men[number] for number in left), after, usable & last


def _pawns(material: Material, crowd: Crowd, white: bool) -> Iterator[tuple[int, Numbers]]:
    yield from ((number, crowd.men[number]) for number, man in enumerate(material.men) if man == ("P", white))


def _reaches(material: Material, crowd: Crowd, white: bool) -> Iterator[tuple[int | None, Numbers, NDArray[np.bool_]]]:
    """Yield what the men of a side reach: man (None the king), target squares, whether the way there is free."""
    for target, on_board in steps(crowd.white_king if white else crowd.black_king, geo.ORTHOGONALS + geo.DIAGONALS):
        yield None, target, on_board
    for number, (man, colour) in enumerate(material.men):
        if colour == white:
            for target, usable in _targets(crowd, number, man, white):
                yield number, target, usable


def _targets(crowd: Crowd, number: int, man: str, white: bool) -> Iterator[tuple[Numbers, NDArray[np.bool_]]]:
    source = crowd.men[number]
    if man == "N":
        yield from steps(source, geo.LEAPS)
    elif man == "P":
        yield from steps(source, ((1, -1), (1, 1)) if white else ((-1, -1), (-1, 1)))
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
