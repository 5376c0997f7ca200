"""Ladders of five men, each kept in a folder of its own beside the solved endings, in a file of the same form.

Such a ladder takes minutes to solve, so it is read where it is kept and solved only for who asks for it by name. What
is no position of it stands in its file as no position at all. Another version of the program solves it anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

import numpy as np

from matebot.method.ladder import Ladder, Rung, Rungs
from matebot.method.plan import Plan
from matebot.method.proved import PROVED_BY
from matebot.solver.codes import DRAW, ILLEGAL, squares_at, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition, PartedRow, Recent, Row
from matebot.solver.material import Material
from matebot.solver.sources import Damaged
from matebot.solver.store import Folder
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Kept, in_memory

_ROWS_BYTES = 8 * 2**20


class KeptLadder(Rungs):
    """A ladder read from its file; where that turns out damaged no position is on it."""

    def __init__(self, plan: Plan, kept: Kept) -> None:
        self.plan, self.material, self._kept = plan, kept.material, kept
        recent = Recent(_ROWS_BYTES)
        self.read(_Metric(kept, 0, recent.count), _Metric(kept, 1, recent.count), recent)

    def rung(self, stand: CanonicalPosition) -> Rung | None:
        """Return where a position of the ending stands, None where the method does not win it."""
        with suppress(Damaged):
            return super().rung(stand)
        return None

    def stages_in(self, attacking: bool, part: int, width: int) -> Codes:
        """Return the stages of a row."""
        return np.frombuffer(self._kept.row(1, attacking, *divmod(part, 64)), np.uint8)


class _Metric:
    """Moves to mate (0) or stages (1) as a `Table`."""

    def __init__(self, kept: Kept, number: int, counted: Callable[[Row], None]) -> None:
        self._kept, self._number, self._counted = kept, number, counted

    def row(self, white_to_move: bool, king_class: int, black_king: int) -> Row:
        place = self._number, white_to_move, king_class, black_king
        stored = self._kept.stored(*place)
        if stored is None:
            return self._kept.row(*place)
        where = white_to_move, REDUCTION[self._kept.material.has_pawns].home[king_class], black_king, stored.exchanged
        return PartedRow(stored.form, where, stored.part, self._counted)


class _Widened(Mapping[bool, Codes]):
    """Codes for pawns on some ranks as those of a whole ending, made when they are asked for."""

    def __init__(self, material: Material, ranks: int, codes: dict[bool, Codes]) -> None:
        self._codes = codes
        self._shape = tuple(len(squares_of(man)) for man, _ in material.men)
        self._place = tuple(_slice(man, white, ranks) for man, white in material.men)

    def __getitem__(self, side: bool) -> Codes:
        codes = self._codes[side]
        whole = np.full((*codes.shape[:2], *self._shape), ILLEGAL, np.uint8)
        for place in np.ndindex(*codes.shape[:2]):
            if (codes[place] < DRAW).any():  # all others are left out of the file
                whole[place][...] = DRAW
                whole[place][self._place] = codes[place]
        return whole

    def __iter__(self) -> Iterator[bool]:
        return iter((True, False))

    def __len__(self) -> int:
        return 2


def _slice(man: str, white: bool, ranks: int) -> slice:
    first, squares = squares_of(man)[0], squares_at(man, white, ranks)
    return slice(int(squares[0] - first), int(squares[-1] - first) + 1)


def _path(tables_folder: Path, plan: Plan) -> Path:
    return tables_folder / f"ladder-{plan.name.replace(' ', '-')}-{PROVED_BY}"


def _folder(tables_folder: Path, plan: Plan) -> Folder:
    return Folder(_path(tables_folder, plan), lambda text: None)


def last_change(plan: Plan, folder: Path | None) -> int | None:
    """Return when something was last kept of a plan's ladder, None where nothing can be."""
    if folder is None:
        return None
    with suppress(OSError):
        return _path(folder, plan).stat().st_mtime_ns
    return None


def read(plan: Plan, folder: Path | None) -> KeptLadder | None:
    """Return the ladder of a plan that is kept beside the solved endings in a folder, None where there is none."""
    kept = None if folder is None else _folder(folder, plan).read(Material.parse(plan.ending, largest=5))
    return None if kept is None or kept.metrics != 2 else KeptLadder(plan, kept)


def keep(ladder: Ladder, folder: Path | None) -> KeptLadder:
    """Keep a ladder in a folder, or packed in memory where that cannot be, and return it to be read from there."""
    ranks = ladder.plan.pawn_ranks
    metrics = [_Widened(ladder.material, ranks, codes) for codes in (ladder.moves, ladder.stages)]
    packing = in_memory if folder is None else _folder(folder, ladder.plan).keep
    return KeptLadder(ladder.plan, packing(ladder.material, metrics, lambda: False))
