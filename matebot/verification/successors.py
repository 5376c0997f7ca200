"""What the values of many positions must be, given those one move later: the moves are python-chess's, the rest arrays.

A move is taken as squares only. Which position it leads to, and which entry of a table that is, is worked out here
anew, away from the code that answers in play. Captures en passant are left to `agreement.disagreement`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Final

import chess
import numpy as np
from numpy.typing import NDArray

from matebot.solver.codes import DRAW, ILLEGAL, MOST, TOO_LONG, code_of, deepened, flipped
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition, codes_at
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import row_bytes
from matebot.solver.tables import METRICS, Tables

Squares = NDArray[np.int64]
#: Codes of both metrics: shape (2, positions), DTM first.
BothCodes = NDArray[np.uint8]

#: A leg one ply longer, and one that ends with the move: one ply, if the leg after it is in time.
_LONGER: Final = np.arange(256, dtype=np.uint8)
_ZEROED: Final = np.arange(256, dtype=np.uint8)
for _winner, _most in MOST.items():
    for _number in range(_most + 1):
        _ZEROED[code_of(_number, _winner)] = code_of(1 if _number < TOO_LONG else TOO_LONG, _winner)
        _LONGER[code_of(_number, _winner)] = code_of(min(_number + 1, TOO_LONG), _winner)
_NOBODY: Final = -1
#: What tables may take in memory: more than those of all endings of four men.
_HELD_BYTES: Final = 1_500 << 20
#: By whether there are pawns: the class of each square of the white king, and where each square goes with it.
_REDUCED: Final = {
    pawns: (np.array(reduction.king_class), np.array([list(row) for row in reduction.mapped]))
    for pawns, reduction in REDUCTION.items()
}


class TablePlaces:
    """Where the positions of endings stand in their tables, whole arrays at a time; best kept for many questions."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._flat: dict[tuple[Material, bool, str], Codes] = {}

    def codes(self, material: Material | None, white_to_move: bool, kings: Squares, men: Squares) -> BothCodes:
        """Return the codes of positions of one ending with one side to move, seen from White.

        Parameters
        ----------
        kings : shape (2, positions): the squares of the white and the black king
        men : shape (men, positions), in the order of the material
        """
        if material is None:
            return np.full((2, kings.shape[1]), DRAW, np.uint8)
        king_class, mapped = _REDUCED[material.has_pawns]
        row = king_class[kings[0]] * 64 + mapped[kings[0], kings[1]]
        place = np.zeros_like(row)
        for (man, _), squares in zip(material.men, men, strict=True):
            at = mapped[kings[0], squares]
            place = place * 48 + at - 8 if man == "P" else place * 64 + at
        if is_large(material):
            return self._by_rows(material, white_to_move, row, place)
        place += row * row_bytes(material)
        return np.stack([self._codes(material, white_to_move, metric)[place] for metric in METRICS])

    def _by_rows(self, material: Material, white_to_move: bool, rows: Squares, places: Squares) -> BothCodes:
        """Return codes of an ending of five men, of which no more is read than is asked for: each row once."""
        found = np.empty((len(METRICS), len(rows)), np.uint8)
        order = np.argsort(rows, kind="stable")
        several, begins = np.unique(rows[order], return_index=True)
        for number, those in zip(several.tolist(), np.split(order, begins)[1:], strict=True):
            for codes, metric in zip(found, METRICS, strict=True):
                row = self.tables.row(material, white_to_move, number // 64, number % 64, metric)
                codes[those] = codes_at(row, places[those])
        return found

    def _codes(self, *key: *tuple[Material, bool, str]) -> Codes:
        found = self._flat.pop(key, None)
        if found is None:
            found = self.tables.codes(*key).reshape(-1)
        self._flat[key] = found  # the last now
        while len(self._flat) > 1 and sum(codes.nbytes for codes in self._flat.values()) > _HELD_BYTES:
            del self._flat[next(iter(self._flat))]
        return found


def expected(
    places: TablePlaces, stands: Sequence[CanonicalPosition], moves: Sequence[Sequence[int]], in_check: Sequence[bool]
) -> BothCodes:
    """Return the codes that follow from the positions one move later.

    The code is `ILLEGAL` where a legal move leads to a position that has no value.

    Parameters
    ----------
    stands : positions of one ending with one side to move
    moves : the legal moves of each, as ``source + 64 * target + 4096 * piece type promoted to (or 0)``
    in_check : for each, whether the side to move is in check
    """
    white = stands[0].white_to_move
    counts = np.array([len(those) for those in moves])
    every = np.fromiter(chain.from_iterable(moves), np.int64, int(counts.sum()))
    parents = np.repeat(np.arange(len(stands)), counts)
    reached = _after(places, stands, parents, every)
    found = np.full((2, len(stands)), DRAW, np.uint8)
    mated = np.array(in_check) & (counts == 0)
    found[:, mated] = 254 if white else 0
    if len(every):
        starts = (np.cumsum(counts) - counts)[counts > 0]
        best = (np.minimum if white else np.maximum).reduceat(reached, starts, axis=1)
        best[np.maximum.reduceat(reached, starts, axis=1) == ILLEGAL] = ILLEGAL  # no value may be the best one
        best[0] = deepened(best[0], white)
        found[:, counts > 0] = best
    return found


def _after(places: TablePlaces, stands: Sequence[CanonicalPosition], parents: Squares, moves: Squares) -> BothCodes:
    """Return the codes of moves: the distance to mate from after them, the leg from before them."""
    material, white = stands[0].material, stands[0].white_to_move
    assert material is not None
    squares = np.array([(s.white_king, s.black_king, *s.men) for s in stands], dtype=np.int64).T[:, parents]
    source, target, promoted = moves & 63, moves >> 6 & 63, moves >> 12
    owners = np.array([True, False, *(colour for _, colour in material.men)])
    mover = _standing(squares, source, owners == white)
    taken = _standing(squares, target, owners != white)
    squares[mover, np.arange(len(moves))] = target
    codes = np.empty((2, len(moves)), np.uint8)
    kinds = (mover * 8 + taken + 1) * 8 + promoted
    for kind in np.unique(kinds).tolist():
        those = np.flatnonzero(kinds == kind)
        number, victim, piece_type = kind // 64, kind // 8 % 8 - 1, kind % 8
        men = list(material.men)
        pawn = number > 1 and men[number - 2][0] == "P"
        if piece_type:
            men[number - 2] = chess.PIECE_SYMBOLS[piece_type].upper(), white
        left = [i for i in range(len(men)) if i + 2 != victim]
        child = _ending(places, white, [men[i] for i in left], squares[:, those][[0, 1, *(i + 2 for i in left)]])
        mates = child[0] == (0 if white else 254)
        leg = _ZEROED[child[1]] if pawn or victim != _NOBODY else _LONGER[child[1]]
        codes[0, those] = child[0]
        codes[1, those] = np.where(mates, _ZEROED[child[1]], leg)
    return codes


def _standing(squares: Squares, wanted: Squares, owners: NDArray[np.bool_]) -> Squares:
    """Return for each position which of some men stands on a square, `_NOBODY` where none does."""
    there = (squares == wanted) & owners[:, None]
    return np.where(there.any(axis=0), there.argmax(axis=0), _NOBODY)


def _ending(places: TablePlaces, mover_white: bool, men: list[tuple[str, bool]], squares: Squares) -> BothCodes:
    """Return the codes of positions given by any men in any order, the other side now to move."""
    if not men:
        return places.codes(None, not mover_white, squares[:2], squares[2:])
    material, swapped = Material.of("".join(m for m, w in men if w), "".join(m for m, w in men if not w))
    wanted = [(man, white != swapped) for man, white in material.men]
    order = sorted(range(len(men)), key=lambda i: wanted.index(men[i]))
    if not swapped:
        return places.codes(material, not mover_white, squares[:2], squares[2:][order])
    upside_down = squares ^ 56
    return flipped(places.codes(material, mover_white, upside_down[1::-1], upside_down[2:][order]))
