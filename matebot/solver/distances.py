"""Moves without capture or promotion, run backwards over distances: for each position the least after one move.

The same sweeps as in `moves`, with bytes in the place of bits: an array has one axis for each man beside the kings (a
single place for a pawn, which does not move here), one for the white king's home squares and one for the black king.
255 stands for what no move may lead to.
"""

from __future__ import annotations

from math import prod
from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver import geometry as geo
from matebot.solver.codes import NOWHERE
from matebot.solver.geometry import Codes, cut, sweep
from matebot.solver.symmetry import Reduction

_EDGE: Final = np.uint64(0xFF)
_LAST_EDGE: Final = np.uint64(0xFF << 56)
_BYTE: Final = np.uint64(8)


class LeastMoves:
    """Backward moves over distances; keeps scratch space, so use it from one thread at a time.

    Parameters
    ----------
    men : (man, is white) by axis
    at : for each man the squares of its axis: all 64, or the one of a pawn
    reduction : of the white king's axis
    """

    def __init__(self, men: tuple[tuple[str, bool], ...], at: list[NDArray[np.intp]], reduction: Reduction) -> None:
        self.men, self.at, self.reduction = men, at, reduction
        self.shape = (*(len(squares) for squares in at), len(reduction.home), 64)
        self._taken = [self._board(self._together(), axis) for axis in range(len(men))]
        self._swept = np.empty(self.shape, np.uint8)
        self._turned = self._turns()

    def least(self, reached: Codes, white: bool) -> Codes:
        """Return the least of the distances that one quiet move of a side leads to, `NOWHERE` without a move.

        Parameters
        ----------
        reached : distances after the move; `NOWHERE` wherever two men share a square
        """
        out = np.full(self.shape, NOWHERE, np.uint8)
        if white:
            self._white_king(reached, out)
        else:
            self._black_king(reached, out)
        for axis, (man, colour) in enumerate(self.men):
            if colour == white and man == "N":
                self._leaper(reached, axis, geo.LEAPS, out)
            elif colour == white and man != "P":
                for direction in geo.RAYS_OF[man]:
                    self._ray(reached, axis, direction, out)
        return out

    def _together(self) -> Codes:
        """Return `NOWHERE` where two men share a square, else 0."""
        every = [*self.at, np.array(self.reduction.home), np.arange(64)]
        grid = np.meshgrid(*(squares.astype(np.uint8) for squares in every), indexing="ij", sparse=True)
        found = np.zeros(self.shape, np.bool_)
        for number, squares in enumerate(grid):
            for other in grid[:number]:
                found |= squares == other
        return found.view(np.uint8) * np.uint8(NOWHERE)

    def _board(self, array: Codes, axis: int) -> Codes:
        """View one man's axis as (rank, file): shape (before, 8, 8, after); a pawn's has no ranks."""
        if self.shape[axis] != 64:
            return array
        return array.reshape(prod(self.shape[:axis]), 8, 8, -1)

    def _leaper(self, reached: Codes, axis: int, steps: tuple[tuple[int, int], ...], out: Codes) -> None:
        source, target = self._board(reached, axis), self._board(out, axis)
        for rank_step, file_step in steps:
            from_rank, to_rank = cut(8, rank_step)
            from_file, to_file = cut(8, file_step)
            here = target[:, from_rank, from_file]
            np.minimum(here, source[:, to_rank, to_file], out=here)

    def _ray(self, reached: Codes, axis: int, direction: tuple[int, int], out: Codes) -> None:
        source, target, taken = self._board(reached, axis), self._board(out, axis), self._taken[axis]
        swept = self._board(self._swept, axis)
        edges, ((here, there), *steps) = sweep(direction)
        for edge in edges:
            swept[edge] = NOWHERE
        swept[here] = source[there]
        for here, there in steps:
            passed = np.bitwise_or(swept[there], taken[there], out=swept[here])
            np.minimum(passed, source[there], out=passed)
        np.minimum(target, swept, out=target)

    def _turns(self) -> dict[int, NDArray[np.intp]]:
        """For squares next to the home squares but not among them: where each place of a king's slab is mirrored to."""
        found: dict[int, NDArray[np.intp]] = {}
        alike: dict[bytes, NDArray[np.intp]] = {}
        for square in {t for around in self.reduction.neighbours for t in around} - set(self.reduction.home):
            mapped = self.reduction.mapped[square]
            if mapped not in alike:
                turned = np.frombuffer(mapped, np.uint8).astype(np.intp)
                place = np.zeros(1, np.intp)
                for _ in range(len(self.men) + 1):
                    place = (place[:, None] * 64 + turned).reshape(-1)
                alike[mapped] = place
            found[square] = alike[mapped]
        return found

    def _white_king(self, reached: Codes, out: Codes) -> None:
        reduction = self.reduction
        if len(reduction.home) == 64:
            self._leaper(reached, len(self.men), geo.ORTHOGONALS + geo.DIAGONALS, out)
            return
        kings = np.ascontiguousarray(np.moveaxis(reached, -2, 0)).reshape(len(reduction.home), -1)
        slabs = dict(zip(reduction.home, kings, strict=True))
        for square, turned in self._turned.items():
            slabs[square] = kings[reduction.king_class[square]][turned]
        men = self.shape[:-2]
        for number, neighbours in enumerate(reduction.neighbours):
            row = np.minimum(slabs[neighbours[0]], slabs[neighbours[1]])
            for square in neighbours[2:]:
                np.minimum(row, slabs[square], out=row)
            here = out[..., number, :]
            np.minimum(here, row.reshape(*men, 64), out=here)

    def _black_king(self, reached: Codes, out: Codes) -> None:
        """Move the black king: a rank of its squares is one word, so it goes aside by eight bits, up by one word."""
        ranks = reached.reshape(-1).view(np.uint64)
        aside = (ranks >> _BYTE) | _LAST_EDGE
        row = aside.view(np.uint8)
        np.minimum(row, ((ranks << _BYTE) | _EDGE).view(np.uint8), out=row)
        goal = out.reshape(-1)
        np.minimum(goal, row, out=goal)
        np.minimum(row, reached.reshape(-1), out=row)
        column, into = row.reshape(-1, 64), goal.reshape(-1, 64)
        np.minimum(into[:, :56], column[:, 8:], out=into[:, :56])
        np.minimum(into[:, 8:], column[:, :56], out=into[:, 8:])
