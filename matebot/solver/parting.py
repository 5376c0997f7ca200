"""Large rows packed in parts: in which order the men stand, which rows are left out, and how legs are arranged.

What packs best differs from ending to ending, so it is tried on a few rows and noted in the file. With the white king
on the long diagonal, a row with the black king above it tells nothing new where it is the mirror image of the one with
the black king below. And as a leg goes with the distance to mate, the legs of a part may stand *by mate*: those of
positions with the same distance to mate together, in the order of their places.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver.codes import ILLEGAL
from matebot.solver.crew import Crew, can_compile
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.packing import Packing
from matebot.solver.row_form import EXCHANGED, OLDER_PARTS, RowForm, exchanged_row, orders, row_form
from matebot.solver.symmetry import REDUCTION

#: About how many codes a part holds of distances to mate, and of legs, which are asked for less often.
_PART_CODES: Final = (1 << 13, 1 << 15)
#: Rows that what packs best is tried on.
_TRIED: Final = 8
_BY_MATE: Final = 0x80
#: Of a part whose codes stand by those to mate, so many are looked for before all are put in their places.
_ONE_BY_ONE: Final = 16


@dataclass(slots=True)
class Layout:
    """How the rows of one metric with one side to move are packed.

    Attributes
    ----------
    form : see `RowForm`
    by_mate : whether the codes of a part stand by the codes to mate, where those are in the file
    number : what stands for both in a file
    """

    form: RowForm
    by_mate: bool
    number: int


def older_layout(material: Material) -> Layout:
    """Return the layout of all rows in files of the older versions."""
    return Layout(row_form(material, None, OLDER_PARTS), False, 0)


def layout(material: Material, metric: int, number: int) -> Layout | None:
    """Return the layout that a number in a file stands for, None where there is none."""
    order, by_mate = number & ~_BY_MATE, bool(number & _BY_MATE)
    if order >= len(orders(material)) or (by_mate and not metric):
        return None
    size = row_form(material, order, 1).size
    return Layout(row_form(material, order, -(-size // _PART_CODES[metric])), by_mate, number)


def by_mate(codes: Codes, mates: Codes) -> Codes:
    """Return codes of a part arranged by those to mate; for many parts, by a compiled loop where there is one."""
    if not can_compile():
        return codes[np.argsort(mates, kind="stable")]
    from matebot.solver import row_kernels  # takes a while, so not before it is needed

    found = np.empty_like(codes)
    row_kernels.by_mate(codes, mates, found)
    return found


def by_place(arranged: Codes, mates: Codes, of_many: bool = False) -> Codes:
    """Return codes again that were arranged by those to mate.

    `of_many` : of many parts, so that a compiled loop is worth while where there is one
    """
    found = np.empty_like(arranged)
    if of_many and can_compile():
        from matebot.solver import row_kernels

        row_kernels.by_place(arranged, mates, found)
    else:
        found[np.argsort(mates, kind="stable")] = arranged
    return found


class Arranged:
    """Codes of a part that stand by those to mate, each looked for by itself: to put all in their places takes longer.

    Parameters
    ----------
    codes, mates : of the part, as many
    """

    __slots__ = ("_asked", "_held")

    def __init__(self, codes: bytes, mates: bytes) -> None:
        self._asked = 0
        self._held: tuple[bytes, Codes | None] = codes, np.frombuffer(mates, np.uint8)

    def __getitem__(self, place: int) -> int:
        codes, mates = self._held
        if mates is None:
            return codes[place]
        self._asked += 1
        if self._asked > _ONE_BY_ONE:
            return bytes(self)[place]
        mate = mates[place]
        return codes[np.count_nonzero(mates < mate) + np.count_nonzero(mates[:place] == mate)]

    def __bytes__(self) -> bytes:
        codes, mates = self._held
        if mates is not None:
            codes = by_place(np.frombuffer(codes, np.uint8), mates).tobytes()
            self._held = codes, None
        return codes

    def __len__(self) -> int:
        return 2 * len(self._held[0])


def twin(material: Material, row: int) -> int | None:
    """Return the row of which a row may be the mirror image, None where none is looked for."""
    home, black_king = REDUCTION[material.has_pawns].home[row // 64], row % 64
    if material.has_pawns or home % 9 or black_king // 8 <= black_king % 8:
        return None
    return row - black_king + int(EXCHANGED[black_king])


@dataclass(slots=True)
class Packed:
    """The rows of one metric with one side to move, packed; a row without parts is left out or holds no position."""

    layout: Layout
    rows: list[Sequence[bytes]] = field(default_factory=list)

    @property
    def parts(self) -> list[bytes]:
        """The parts of all rows."""
        none = [b""] * self.layout.form.parts
        return [part for row in self.rows for part in row or none]


class Parting:
    """Packs the rows of an ending, several at once: packing leaves the interpreter to others.

    Parameters
    ----------
    way : in which parts are packed
    pulse : called between rows; may raise to end the work
    """

    def __init__(self, material: Material, way: Packing, pulse: Callable[[], None]) -> None:
        self._material, self._way, self._crew = material, way, Crew(pulse)

    def packed(self, table: Codes, mates: Packed | None) -> Packed:
        """Pack the rows of a metric with one side to move; `mates` are those to mate where these are legs."""
        wanted = self._wanted(table)
        found = Packed(self._best(table, wanted, mates), [()] * len(table))

        def pack(number: int, hand: int) -> None:
            found.rows[number] = self._row(found.layout, table[number], mates, number)

        self._crew.each(wanted, pack)
        return found

    def _wanted(self, table: Codes) -> list[int]:
        """Return the rows that hold positions and are no mirror image."""
        found = np.zeros(len(table), np.bool_)

        def look(number: int, hand: int) -> None:
            other = twin(self._material, number)
            found[number] = (table[number] != ILLEGAL).any() and (
                other is None or not (exchanged_row(table[other], len(self._material.men)) == table[number]).all()
            )

        self._crew.each(range(len(table)), look)
        return np.flatnonzero(found).tolist()

    def _best(self, table: Codes, wanted: list[int], mates: Packed | None) -> Layout:
        tried = [wanted[n * len(wanted) // _TRIED] for n in range(_TRIED)] if wanted else []
        numbers = list(range(len(orders(self._material))))
        if mates is not None:
            numbers.append(mates.layout.number | _BY_MATE)
        layouts = [one for n in numbers if (one := layout(self._material, int(mates is not None), n)) is not None]
        sizes = np.zeros((len(layouts), len(tried)), np.int64)

        def measure(place: tuple[int, int], hand: int) -> None:
            row = tried[place[1]]
            sizes[place] = sum(map(len, self._row(layouts[place[0]], table[row], mates, row)))

        self._crew.each(list(np.ndindex(*sizes.shape)), measure)
        return layouts[int(sizes.sum(axis=1).argmin())]

    def _row(self, how: Layout, row: Codes, mates: Packed | None, number: int) -> list[bytes]:
        short, form = how.form.short(row), how.form
        parts = [short[start:end] for start, end in pairwise(form.bounds)]
        if how.by_mate and mates is not None and mates.rows[number]:
            to_mate = self._short(mates, number)
            parts = [
                by_mate(codes, to_mate[start:end])
                for codes, (start, end) in zip(parts, pairwise(form.bounds), strict=True)
            ]
        return [self._way.pack(part) for part in parts]

    def _short(self, mates: Packed, number: int) -> NDArray[np.uint8]:
        bounds = mates.layout.form.bounds
        sizes = [end - start for start, end in pairwise(bounds)]
        parts = [self._way.unpack(part, size) for part, size in zip(mates.rows[number], sizes, strict=True)]
        return np.frombuffer(b"".join(parts), np.uint8)
