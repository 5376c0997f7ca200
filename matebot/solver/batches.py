"""Moves of many positions of one ending at once: squares in, squares and codes out, whole arrays at a time.

A batch is an array of squares, shape (2 + men, positions): the white king, the black king, then the men in the order
of `Material.men`. In none of them a capture en passant is open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import DRAW, ILLEGAL, deepened, flipped
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition, Row, codes_at
from matebot.solver.material import PROMOTIONS, Material
from matebot.solver.offer import is_large
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import row_bytes

#: A batch, shape (2 + men, positions).
Squares = NDArray[np.int64]
#: Numbers of positions, shape (positions,); see `Batches.numbers`.
Numbers = NDArray[np.int64]

_REDUCED: Final = {
    pawns: (np.array(reduction.king_class), np.array(list(map(list, reduction.mapped))))
    for pawns, reduction in REDUCTION.items()
}


def _targets(man: str) -> Squares:
    """Squares a man reaches on an empty board, shape (64, most of them); filled up with its own square."""
    masks = geo.KING if man == "K" else np.bitwise_or.reduce(geo.attacks(man, True), axis=1)
    found = [np.flatnonzero(row).tolist() for row in masks[:, None] & geo.BIT]
    most = max(map(len, found))
    return np.array([row + [square] * (most - len(row)) for square, row in enumerate(found)])


#: What a look into a row costs, and a part of it that has to be read, or a whole one of fewer men, in the units of
#: `Batches.allow`.
_LOOK, _PART, _ROW = 3, 400, 100
#: In so many parts a row of five men is taken to be read.
_PARTS: Final = 8

_TARGETS: Final = {man: _targets(man) for man in "KQRBN"}
_PAWN_HITS: Final = {True: geo.WHITE_PAWN, False: geo.BLACK_PAWN}


class TooMuchWork(Exception):
    """More rows were looked into than is allowed."""


class Batches:
    """Moves and codes of batches of one ending.

    Parameters
    ----------
    codes : gives the DTM codes of an ending for one side to move, in the reduced layout
    row : gives one row of them, by the class of the white king and the square of the black one; with five men only
        rows are asked for where it is given
    """

    def __init__(
        self,
        material: Material,
        codes: Callable[[Material, bool], Codes],
        row: Callable[[Material, bool, int, int], Row] | None = None,
    ) -> None:
        self.material = material
        self._codes, self._row = codes, row
        self._flat: dict[tuple[Material, bool], Codes] = {}
        self._work_left: int | None = None
        self._touched: set[tuple[Material, bool, int]] = set()

    def allow(self, work: int | None) -> None:
        """Allow so much looking into rows, as with five men, from now on, in about microseconds; None for any.

        What that costs goes by how far apart the positions lie, not by how many there are. Parts of rows count once,
        as if none were at hand, so that the same question always gets the same answer.
        """
        self._work_left = work
        self._touched.clear()

    @staticmethod
    def of(stands: list[CanonicalPosition]) -> Squares:
        """Return positions as a batch."""
        return np.array([(s.white_king, s.black_king, *s.men) for s in stands], np.int64).T

    def number(self, stand: CanonicalPosition) -> int:
        """Return the number of one position; see `numbers`."""
        found, men = stand.white_king * 64 + stand.black_king, list(stand.men)
        for part in self.material.alike:
            men[part] = sorted(men[part])
        for square in men:
            found = found * 64 + square
        return found

    def numbers(self, batch: Squares) -> Numbers:
        """Return one number for each position, from 0 up to 64 to the power of the men, kings included.

        It is the same when men that are alike change places.
        """
        found, men = batch[0] * 64 + batch[1], batch[2:]
        for part in self.material.alike:
            men = np.concatenate([men[: part.start], np.sort(men[part], axis=0), men[part.stop :]])
        for row in men:
            found = found * 64 + row
        return np.asarray(found)

    def squares(self, numbers: Numbers) -> Squares:
        """Return the batch that has these numbers."""
        places = range(6 * (len(self.material.men) + 1), -1, -6)
        return np.stack([numbers >> place & 63 for place in places])

    def codes(self, batch: Squares, white_to_move: bool) -> Codes:
        """Return the DTM codes of a batch with one side to move, `ILLEGAL` where two men share a square too."""
        return self._of(self.material, batch, white_to_move)

    def quiet(self, batch: Squares, white: bool) -> tuple[Squares, NDArray[np.intp]]:
        """Return where one side's quiet moves lead, pawn moves left out, and from which position of the batch each.

        The same way back: where its men may have come from. Whether such a position is legal, its code tells.
        """
        occupied = np.bitwise_or.reduce(geo.BIT[batch], axis=0)
        found, parents = [], []
        for row, man in self._pieces(white):
            source = batch[row]
            targets = _TARGETS[man][source]
            free = (geo.BIT[targets] & occupied[:, None]) == 0
            if man not in "KN":
                free &= (geo.BETWEEN[source[:, None], targets] & occupied[:, None]) == 0
            parent, which = np.nonzero(free)
            moved = batch[:, parent]
            moved[row] = targets[parent, which]
            found.append(moved)
            parents.append(parent)
        return np.concatenate(found, axis=1), np.concatenate(parents)

    def zeroing(self, batch: Squares, white: bool) -> tuple[Codes, NDArray[np.intp]]:
        """Return the codes, White's view, after one side's captures and pawn moves, and whose moves they are."""
        found: list[Codes] = [np.empty(0, np.uint8)]
        parents: list[NDArray[np.intp]] = [np.empty(0, np.intp)]
        for codes, those in self._zeroing(batch, white):
            legal = codes != ILLEGAL
            found.append(codes[legal])
            parents.append(those[legal])
        return np.concatenate(found), np.concatenate(parents)

    def _pieces(self, white: bool) -> list[tuple[int, str]]:
        """Rows and names of one side's men without its pawns, the king first."""
        men = [(row, man) for row, (man, colour) in enumerate(self.material.men, 2) if colour == white and man != "P"]
        return [(0 if white else 1, "K"), *men]

    def _zeroing(self, batch: Squares, white: bool) -> Iterator[tuple[Codes, NDArray[np.intp]]]:
        occupied = np.bitwise_or.reduce(geo.BIT[batch], axis=0)
        victims = [row for row, (_, colour) in enumerate(self.material.men, 2) if colour != white]
        for row, man in self._pieces(white):
            reach = geo.KING[batch[row]] if man == "K" else np.bitwise_or.reduce(geo.attacks(man, white), 1)[batch[row]]
            for victim in victims:
                hit = (reach & geo.BIT[batch[victim]]) != 0
                if man not in "KN":
                    hit &= (geo.BETWEEN[batch[row], batch[victim]] & occupied) == 0
                yield self._after(batch, white, np.flatnonzero(hit), row, batch[victim], victim)
        for row in [r for r, (man, colour) in enumerate(self.material.men, 2) if man == "P" and colour == white]:
            yield from self._pawn(batch, white, row, victims, occupied)

    def _pawn(
        self, batch: Squares, white: bool, row: int, victims: list[int], occupied: NDArray[np.uint64]
    ) -> Iterator[tuple[Codes, NDArray[np.intp]]]:
        forward, at = (8 if white else -8), batch[row]
        for victim in victims:
            hit = (_PAWN_HITS[white][at] & geo.BIT[batch[victim]]) != 0
            yield from self._arriving(batch, white, np.flatnonzero(hit), row, batch[victim], victim)
        free = (geo.BIT[at + forward] & occupied) == 0
        yield from self._arriving(batch, white, np.flatnonzero(free), row, at + forward, None)
        twice = free & (at // 8 == (1 if white else 6))
        twice[twice] = (geo.BIT[at[twice] + 2 * forward] & occupied[twice]) == 0
        yield self._double(batch, white, np.flatnonzero(twice), row, victims)

    def _double(
        self, batch: Squares, white: bool, those: NDArray[np.intp], row: int, victims: list[int]
    ) -> tuple[Codes, NDArray[np.intp]]:
        """Give the codes after a pawn's double steps, what a capture en passant spoils taken into account."""
        forward, at = (8 if white else -8), batch[row]
        codes, _ = self._after(batch, white, those, row, at + 2 * forward, None)
        bound = np.zeros(len(those), np.bool_)  # the side to move has nothing but captures en passant
        for taker in [v for v in victims if self.material.men[v - 2][0] == "P"]:
            passed = at[those] + forward
            beside = np.flatnonzero(_PAWN_HITS[not white][batch[taker, those]] & geo.BIT[passed])
            squares = batch[:, those[beside]]
            squares[taker] = passed[beside]
            left = [r for r in range(2, len(batch)) if r != row]
            taken = self._arranged([self.material.men[r - 2] for r in left], squares[[0, 1, *left]], white)
            legal = (codes[beside] != ILLEGAL) & (taken != ILLEGAL)
            beside, taken = beside[legal], deepened(taken[legal], not white)
            best = (np.maximum if white else np.minimum)(codes[beside], taken)
            # A stalemate but for the capture is none.
            forced = np.flatnonzero((codes[beside] == DRAW) & (taken != best) & ~bound[beside])
            if len(forced):
                after = batch[:, those[beside[forced]]]
                after[row] += 2 * forward
                forced = forced[~self._can_move(after, not white)]
                best[forced] = taken[forced]
            bound[beside[forced]] = True
            codes[beside] = best
        return codes, those

    def _can_move(self, batch: Squares, white: bool) -> NDArray[np.bool_]:
        """Return where a side has a legal move, captures en passant apart."""
        able = np.zeros(batch.shape[1], np.bool_)
        after, parents = self.quiet(batch, white)
        able[parents[self.codes(after, not white) != ILLEGAL]] = True
        able[self.zeroing(batch, white)[1]] = True
        return able

    def _arriving(
        self, batch: Squares, white: bool, those: NDArray[np.intp], row: int, target: Squares, victim: int | None
    ) -> Iterator[tuple[Codes, NDArray[np.intp]]]:
        """Give the codes after a pawn's moves to the squares given, promotions among them."""
        last = (target[those] < 8) | (target[those] > 55)
        yield self._after(batch, white, those[~last], row, target, victim)
        for new in PROMOTIONS if last.any() else "":
            yield self._after(batch, white, those[last], row, target, victim, new)

    def _after(
        self,
        batch: Squares,
        white: bool,
        those: NDArray[np.intp],
        row: int,
        target: Squares,
        victim: int | None,
        new: str = "",
    ) -> tuple[Codes, NDArray[np.intp]]:
        """Give the codes after one kind of move of some positions of a batch; `target` is of the whole batch."""
        men = list(self.material.men)
        if new:
            men[row - 2] = new, white
        squares = batch[:, those]
        squares[row] = target[those]
        left = [r for r in range(2, len(batch)) if r != victim]
        return self._arranged([men[r - 2] for r in left], squares[[0, 1, *left]], not white), those

    def _arranged(self, men: list[tuple[str, bool]], squares: Squares, white_to_move: bool) -> Codes:
        """Return the codes of positions with any men in any order, seen from White."""
        if not men:
            near = (geo.KING | geo.BIT)[squares[0]] >> squares[1].astype(np.uint64) & np.uint64(1)
            return np.where(near != 0, ILLEGAL, DRAW).astype(np.uint8)
        material, swapped = Material.of("".join(m for m, w in men if w), "".join(m for m, w in men if not w))
        wanted = [(man, white != swapped) for man, white in material.men]
        order = [2 + i for i in sorted(range(len(men)), key=lambda i: wanted.index(men[i]))]
        if not swapped:
            return self._of(material, squares[[0, 1, *order]], white_to_move)
        return flipped(self._of(material, squares[[1, 0, *order]] ^ 56, not white_to_move))

    def _of(self, material: Material, batch: Squares, white_to_move: bool) -> Codes:
        key = material, white_to_move
        king_class, mapped = _REDUCED[material.has_pawns]
        row = king_class[batch[0]] * 64 + mapped[batch[0], batch[1]]
        place = np.zeros_like(row)
        for (man, _), squares in zip(material.men, batch[2:], strict=True):
            at = mapped[batch[0], squares]
            place = place * 48 + at - 8 if man == "P" else place * 64 + at
        if self._row is not None and is_large(self.material):  # what it leads to is read by rows as well
            return self._by_rows(material, white_to_move, row, place)
        if key not in self._flat:
            self._flat[key] = self._codes(*key).reshape(-1)
        return np.asarray(self._flat[key][row * row_bytes(material) + place])

    def _by_rows(self, material: Material, white_to_move: bool, rows: Squares, places: Squares) -> Codes:
        """Return codes of tables that would take too long to be read whole; positions next to each other share rows."""
        assert self._row is not None
        found = np.empty(len(rows), np.uint8)
        order = np.argsort(rows, kind="stable")
        several, begins = np.unique(rows[order], return_index=True)
        parts = places * _PARTS // row_bytes(material) if is_large(material) else np.zeros_like(places)
        for number, those in zip(several.tolist(), np.split(order, begins)[1:], strict=True):
            self._spend(material, white_to_move, number, parts[those])
            found[those] = codes_at(self._row(material, white_to_move, *divmod(number, 64)), places[those])
        return found

    def _spend(self, material: Material, white_to_move: bool, row: int, parts: Squares) -> None:
        """Take what a look into one row costs from what is allowed."""
        if self._work_left is None:
            return
        wanted = {(material, white_to_move, row * _PARTS + part) for part in set(parts.tolist())}
        fresh = wanted - self._touched
        self._touched |= fresh
        self._work_left -= _LOOK * len(parts) + (_PART if is_large(material) else _ROW) * len(fresh)
        if self._work_left < 0:
            raise TooMuchWork
