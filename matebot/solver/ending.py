"""One ending at hand: its codes from memory, from disk, or from a new solution where its file turns out damaged."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial

import numpy as np

from matebot.records import dataclass
from matebot.solver.codes import longest_win
from matebot.solver.geometry import Codes
from matebot.solver.lookup import Part, PartedRow, Reader, Recent, Row
from matebot.solver.material import Material
from matebot.solver.retrograde import Solution, Solver
from matebot.solver.row_form import exchanged_row
from matebot.solver.sources import Damaged
from matebot.solver.store import Folder
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Kept, Stored, in_memory


class Ending:
    """One ending at hand: solved in memory, or kept on disk until its file turns out damaged.

    Parameters
    ----------
    solve : sets the solution when nothing else is left
    spoilt : told when the file turns out damaged
    shelf : where the solution is kept; None for in memory
    recent : holds the rows at hand to a number of bytes
    pulse : called again and again while a large file is read whole; may raise to stop that
    """

    def __init__(
        self,
        material: Material,
        solve: Callable[[Ending], None],
        spoilt: Callable[[Material, Damaged], None],
        shelf: Folder | None,
        recent: Recent,
        pulse: Callable[[], None] = lambda: None,
    ) -> None:
        self.material = material
        self.kept: Kept | None = None
        self.solution: Solution | None = None
        self._solve = solve
        self._spoilt = spoilt
        self._shelf = shelf
        self._pulse = pulse
        self._recent = recent
        self.dtm = Reader(material, _Metric(self, 0), recent=recent)
        self.dtz = Reader(material, _Metric(self, 1), recent=recent)

    def row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> Row:
        """Return a row of codes, from memory, from disk, or from a new solution where the file is damaged."""
        kept, place = self.kept, (metric, white_to_move, king_class, black_king)
        stored = None if self.solution is not None or kept is None else kept.stored(*place)
        if stored is not None:
            where = white_to_move, REDUCTION[self.material.has_pawns].home[king_class], black_king, stored.exchanged
            return PartedRow(stored.form, where, partial(self._part, stored, place), self._recent.count)
        return self.whole_row(*place)

    def whole_row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        """Return all codes of a row."""
        kept, place = self.kept, (metric, white_to_move, king_class, black_king)
        if self.solution is None and kept is not None:
            try:
                return kept.row(*place)
            except Damaged as fault:
                self._give_up(fault)
        solution = self.solution
        return self._solved_row(*place) if solution is None else solution.row(*place)

    def longest_wins(self, metric: int, white_to_move: bool) -> list[int]:
        """Return the highest code of a win in each row, 0 where there is none; large rows are not made whole for it."""
        kept = self.kept
        if self.solution is None and kept is not None:
            try:
                return kept.longest_wins(metric, white_to_move, self._pulse)
            except Damaged as fault:
                self._give_up(fault)
        codes = self.codes(metric, white_to_move)
        return [longest_win(row) for row in codes.reshape(codes.shape[0] * codes.shape[1], -1)]

    def _part(self, stored: Stored, place: tuple[int, bool, int, int], part: int) -> Part:
        """Return a part of a row in its short form, from disk, or from a new solution where the file is damaged."""
        if self.kept is stored.kept:
            try:
                return stored.part(part)
            except Damaged as fault:
                self._give_up(fault)
        row, form = np.frombuffer(self.whole_row(*place), np.uint8), stored.form
        short = form.short(exchanged_row(row, form.men) if stored.exchanged else row)
        return short[form.bounds[part] : form.bounds[part + 1]].tobytes()

    def _solved_row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        row: bytes = self.codes(metric, white_to_move)[king_class, black_king].tobytes()
        return row

    def codes(self, metric: int, white_to_move: bool) -> Codes:
        """Return all codes of one metric and side in the reduced layout."""
        while (solution := self.solution) is None:  # another thread may keep it and let go of it
            kept = self.kept
            if kept is None:
                self._solve(self)
                continue
            try:
                return kept.codes(metric, white_to_move, self._pulse)
            except Damaged as fault:
                self._give_up(fault)
        return solution.codes(metric, white_to_move)

    def present(self, metric: int, white_to_move: bool) -> frozenset[int] | None:
        """Return which codes there are, None where nobody knows without reading all."""
        kept = self.kept
        if self.solution is None and kept is not None and kept.in_parts:
            try:
                return kept.present(metric, white_to_move, self._pulse)
            except Damaged as fault:
                self._give_up(fault)
        return None

    @property
    def is_there(self) -> bool:
        """Whether it is solved, in memory or kept."""
        return self.kept is not None or self.solution is not None

    @property
    def held_bytes(self) -> int:
        """Return what the solution takes in memory, 0 where it has been packed."""
        solution = self.solution
        return 0 if solution is None else sum(codes.nbytes for both in solution.metrics for codes in both.values())

    def solve_and_keep(self, solver: Solver, interrupted: Callable[[], bool]) -> None:
        """Solve it and pack each metric as soon as it is there: for endings too large to be held."""
        self.kept = self._packed(solver.metrics(), interrupted)

    def _packed(self, metrics: Iterable[Mapping[bool, Codes]], interrupted: Callable[[], bool]) -> Kept:
        keep = in_memory if self._shelf is None else self._shelf.keep
        return keep(self.material, metrics, interrupted)

    def keep(self, interrupted: Callable[[], bool]) -> None:
        """Write the solution to disk, or pack it in memory where that cannot be, and let go of it."""
        if self.solution is not None:
            self.kept = self._packed(self.solution.metrics, interrupted)
            self.solution = None

    def _give_up(self, fault: Damaged) -> None:
        self.kept = None
        self._spoilt(self.material, fault)


@dataclass(frozen=True, slots=True)
class _Metric:
    """One metric of an ending as a `Table`."""

    ending: Ending
    number: int

    def row(self, white_to_move: bool, king_class: int, black_king: int) -> Row:
        return self.ending.row(self.number, white_to_move, king_class, black_king)
