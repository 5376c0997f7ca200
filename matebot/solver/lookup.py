"""Single values out of solved tables, by plain integers: quick enough to follow a line to mate.

Never imports ``chess``: with `walk` it is a second, independent way through the rules.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from math import prod
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from matebot.solver.codes import DRAW, ILLEGAL, TOO_LONG
from matebot.solver.geometry import KING, Codes
from matebot.solver.material import Material
from matebot.solver.row_form import RowForm
from matebot.solver.symmetry import REDUCTION, Reduction

#: What a row costs beside its codes: the object, its key and their place.
_ROW_OVERHEAD_BYTES = 200


class CanonicalPosition(NamedTuple):
    """A position of a covered ending in canonical form (White has the stronger men).

    Attributes
    ----------
    material : the ending, None for the bare kings
    white_to_move : the side to move
    white_king, black_king, men : squares; the men in the order of ``Material.men``
    passed : the square behind a pawn that has just made a double step, if the other side may capture there
    """

    material: Material | None
    white_to_move: bool
    white_king: int
    black_king: int
    men: tuple[int, ...]
    passed: int | None = None


class Value:
    """What a position is worth with best play, the clock and the history left out.

    Attributes
    ----------
    outcome : 1 the side to move wins, 0 drawn, -1 it loses
    dtm_plies : plies to mate, None when drawn
    dtz_plies : plies to the next capture, pawn move or mate while the win is kept under the fifty-move rule,
        `codes.TOO_LONG` where it cannot be; None when drawn. Looked up when it is first asked for: where mate comes
        within a hundred plies it is no further off than mate, and nobody needs to know
    """

    __slots__ = ("_leg", "dtm_plies", "outcome")

    def __init__(self, outcome: int, dtm_plies: int | None, leg: int | Callable[[], int | None] | None) -> None:
        self.outcome, self.dtm_plies, self._leg = outcome, dtm_plies, leg

    @property
    def dtz_plies(self) -> int | None:
        """Plies to the next capture, pawn move or mate; see above."""
        if callable(self._leg):
            self._leg = self._leg()
        return self._leg

    def is_late(self, clock_plies: int = 0) -> bool:
        """Whether it is a win that the clock leaves no room for."""
        left = max(TOO_LONG - 1 - clock_plies, 0)
        return (self.dtm_plies or 0) > left and (self.dtz_plies or 0) > left

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Value) and self._told() == other._told()

    def __hash__(self) -> int:
        return hash(self._told())

    def __repr__(self) -> str:
        return f"Value{self._told()}"

    def _told(self) -> tuple[int, int | None, int | None]:
        return self.outcome, self.dtm_plies, self.dtz_plies


class Row(Protocol):
    """The codes of all placements of the men; the length is in bytes held."""

    def __getitem__(self, place: int, /) -> int: ...

    def __len__(self) -> int: ...


class Part(Row, Protocol):
    """The codes of a part of a row."""

    def __bytes__(self) -> bytes: ...


class PartedRow:
    """A large row of which only the parts are read that are asked for, and those are left in their short form.

    Parameters
    ----------
    form : of the rows of the ending
    place : the side to move (True for White), the squares of the white and the black king, and whether the parts
        have files and ranks exchanged
    read : returns a part of the row in its short form, empty where the row has no positions
    counted : told of each part that is read
    """

    __slots__ = ("_counted", "_form", "_parts", "_place", "_read")

    def __init__(
        self,
        form: RowForm,
        place: tuple[bool, int, int, bool],
        read: Callable[[int], Part],
        counted: Callable[[Part], None],
    ) -> None:
        self._form, self._place = form, place
        self._parts: list[Part | None] = [None] * form.parts
        self._read, self._counted = read, counted

    def __getitem__(self, place: int, /) -> int:
        at = self._form.short_place(place, *self._place)
        if at < 0:
            return ILLEGAL
        bounds = self._form.bounds
        number = bisect_right(bounds, at) - 1
        part = self._parts[number] or self._taken(number)
        return part[at - bounds[number]] if part else ILLEGAL

    def codes(self, places: NDArray[np.intp]) -> Codes:
        """Return the codes of many placements."""
        at = self._form.short_places(places, *self._place)
        order = np.argsort(at, kind="stable")
        ends, found = np.searchsorted(at[order], self._form.bounds), np.full(len(at), ILLEGAL, np.uint8)
        for number, start in enumerate(self._form.bounds[:-1]):
            those = order[ends[number] : ends[number + 1]]
            if len(those) and (part := self._parts[number] or self._taken(number)):
                found[those] = np.frombuffer(bytes(part), np.uint8)[at[those] - start]
        return found

    def _taken(self, number: int) -> Part:
        part = self._parts[number]
        if part is None:
            part = self._parts[number] = self._read(number)
            self._counted(part)
        return part

    def __len__(self) -> int:
        return sum(len(part) for part in self._parts if part is not None)


def codes_at(row: Row, places: NDArray[np.intp]) -> Codes:
    """Return the codes of many placements; of a parted row no more is read than is asked for."""
    if isinstance(row, PartedRow):
        return row.codes(places)
    if type(row) is bytes:
        return np.frombuffer(row, np.uint8)[places]
    return np.array([row[place] for place in places.tolist()], np.uint8)


class Table(Protocol):
    """Codes of one metric of one ending, row by row."""

    def row(self, white_to_move: bool, king_class: int, black_king: int) -> Row:
        """Return the codes for all placements of the men, the first man slowest."""
        ...


class ArrayTable:
    """A table held in memory as arrays in the reduced layout."""

    def __init__(self, codes: dict[bool, Codes]) -> None:
        self.codes = codes
        self._rows: dict[tuple[bool, int, int], bytes] = {}

    def row(self, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        """Return the codes for all placements of the men, the first man slowest."""
        key = (white_to_move, king_class, black_king)
        found = self._rows.get(key)
        if found is None:
            found = self._rows[key] = self.codes[white_to_move][king_class, black_king].tobytes()
        return found


class Recent:
    """Holds the rows that many readers have read lately to a number of bytes together.

    Every reader keeps its rows in two generations. A row that is asked for moves to the younger one; when the younger
    ones have come to half of the bytes, the older ones are let go. So the rows used least recently go first, and a row
    at hand costs no more than without a limit.
    """

    def __init__(self, most_bytes: int) -> None:
        self._half = most_bytes // 2
        self._young_bytes = 0
        self._readers: list[Reader] = []

    def enter(self, reader: Reader) -> None:
        """Take in a reader."""
        self._readers.append(reader)

    def count(self, row: Row) -> None:
        """Count a row, or a part of one, that one of the readers takes up."""
        self._young_bytes += len(row) + _ROW_OVERHEAD_BYTES
        if self._young_bytes > self._half:
            self._age()

    def forget(self) -> None:
        """Let go of all rows."""
        self._age()
        self._age()

    def _age(self) -> None:
        self._young_bytes = 0
        for reader in self._readers:
            reader.age()


class Reader:
    """Reads single codes of one ending.

    Parameters
    ----------
    table : where the rows come from
    reduction : the symmetry the table was solved with; by default the ending's own
    recent : holds the rows at hand to a number of bytes; without it all are kept

    Attributes
    ----------
    mapped : by the white king's square, where the symmetry takes each square
    strides : by how much a man's step to the next square in the order of `mapped` moves the place in a row
    """

    def __init__(
        self, material: Material, table: Table, reduction: Reduction | None = None, recent: Recent | None = None
    ) -> None:
        self._read = table.row
        self._rows: dict[int, Row] = {}
        self._older: dict[int, Row] = {}
        self._recent = recent
        if recent is not None:
            recent.enter(self)
        reduction = reduction or REDUCTION[material.has_pawns]
        self.mapped, self._king_class = reduction.mapped, reduction.king_class
        self.home = reduction.home
        self._has_pawns = material.has_pawns
        self._pawn = [man == "P" for man, _ in material.men]
        self.strides = [prod(48 if pawn else 64 for pawn in self._pawn[n:]) for n in range(1, len(self._pawn) + 1)]

    def code(
        self,
        white_to_move: bool,
        white_king: int,
        black_king: int,
        men: tuple[int, ...],
    ) -> int:
        """Return the code of a placement, `ILLEGAL` where it is no legal position."""
        index = self.index(white_king, men)
        return ILLEGAL if index < 0 else self.row(white_to_move, white_king, black_king)[index]

    def index(self, white_king: int, men: tuple[int, ...]) -> int:
        """Return the place of men in their row, less than 0 where a pawn stands on the first or last rank."""
        mapped = self.mapped[white_king]
        index = 0
        if not self._has_pawns:
            for square in men:
                index = index * 64 + mapped[square]
            return index
        for square, pawn in zip(men, self._pawn, strict=True):
            if not pawn:
                index = index * 64 + mapped[square]
            elif 7 < square < 56:
                index = index * 48 + mapped[square] - 8
            else:
                return -1
        return index

    def row(self, white_to_move: bool, white_king: int, black_king: int) -> Row:
        """Return the codes of all placements of the men."""
        king_class, king = self._king_class[white_king], self.mapped[white_king][black_king]
        key = (king_class * 64 + king) * 2 + white_to_move
        row = self._rows.get(key)
        return self._taken_up(key, white_to_move, king_class, king) if row is None else row

    def rows_of_black_king(self, white_king: int, black_kings: Sequence[int]) -> list[Row]:
        """Return the rows with White to move for several squares of the black king; a loop that is asked for often."""
        king_class, mapped, known = self._king_class[white_king], self.mapped[white_king], self._rows.get
        found = []
        for square in black_kings:
            key = (king_class * 64 + mapped[square]) * 2 + 1
            row = known(key)
            found.append(self._taken_up(key, True, king_class, mapped[square]) if row is None else row)
        return found

    def codes_of_white_king(self, white_kings: Sequence[int], black_king: int, men: tuple[int, ...]) -> list[int]:
        """Return the codes with Black to move for several squares of the white king, as `code` would."""
        if self._has_pawns:
            return [self.code(False, white_king, black_king, men) for white_king in white_kings]
        found = []
        for square in white_kings:
            mapped, king_class, index = self.mapped[square], self._king_class[square], 0
            for man in men:
                index = index * 64 + mapped[man]
            key = (king_class * 64 + mapped[black_king]) * 2
            row = self._rows.get(key)
            if row is None:
                row = self._taken_up(key, False, king_class, mapped[black_king])
            found.append(row[index])
        return found

    def age(self) -> None:
        """Let go of the rows that have not been asked for since the last time."""
        self._older, self._rows = self._rows, {}

    def _taken_up(self, key: int, white_to_move: bool, king_class: int, black_king: int) -> Row:
        row = self._older.pop(key, None)
        if row is None:
            row = self._read(white_to_move, king_class, black_king)
        self._rows[key] = row
        if self._recent is not None:
            self._recent.count(row)
        return row


def bare_kings(white_king: int, black_king: int) -> int:
    """Return the code of king against king."""
    near = white_king == black_king or int(KING[white_king]) >> black_king & 1
    return ILLEGAL if near else DRAW
