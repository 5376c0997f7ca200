"""The file of one solved ending: an index under a checksum, then rows packed one by one and read by position.

A file is derived data and may be deleted at any time. It is written to a temporary file and renamed, so a reader
never sees a half-written one, and any number of processes may write the same ending at once. It is never mapped into
memory: whatever becomes of it while it is open, reading a row finds it damaged at worst.

Layout, little-endian: ``MAGIC``, format version (uint32), size of the file (uint64), CRC-32 of all that follows up
to the rows (uint32), name of the ending (8 bytes), number of metrics (uint32: 1 where every leg ends in mate, else 2),
number of rows (uint32), then the ends of the rows (uint32 each), then the rows. A row holds the codes for one metric,
one side to move (White first), one home square of the strong king and one square of the weak king. Up to four men it
is packed whole; with five it is brought into a shorter form first, in parts (`row_form`), each packed and entered in
the index by itself. In what layout stands before the index, a byte for each metric and side (`parting`), in version 3
and 4 in none. The version tells how a row is packed (`packing`); an empty one is the mirror image of its twin, or all
`ILLEGAL`.
"""

from __future__ import annotations

import struct
import zlib
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from itertools import pairwise

import numpy as np

from matebot.solver.codes import ILLEGAL, MATES_AS_LEGS, longest_win, note, squares_of
from matebot.solver.crew import Crew
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.packing import Packing, Unusable, packing, packing_of
from matebot.solver.parting import Arranged, Layout, Packed, Parting, by_place, layout, older_layout, twin
from matebot.solver.row_form import RowForm, exchanged_row
from matebot.solver.sources import Damaged, Memory, Source
from matebot.solver.symmetry import REDUCTION

MAGIC = b"matebot ending\n\0"
#: Codes of one metric by side to move.
Both = Mapping[bool, Codes]
_HEAD = struct.Struct("<16sIQI8sII")
_LAYOUTS = struct.Struct("<4B")


class Interrupted(Exception):
    """Packing was given up because the caller asked for it; nothing is left behind."""


def row_bytes(material: Material) -> int:
    """Return the size of a row: one byte for each placement of the men beside the kings."""
    size = 1
    for man, _ in material.men:
        size *= len(squares_of(man))
    return size


def packed(material: Material, metrics: Iterable[Both], interrupted: Callable[[], bool]) -> list[bytes]:
    """Return the pieces of an ending's file, one or two metrics in the reduced layout.

    No metric is held here when the next is asked for.

    Raises
    ------
    Interrupted
        when `interrupted`, asked before each row, returns True; compressing takes nearly all of the time of keeping
    """
    way = packing(len(material.men))

    def pulse() -> None:
        if interrupted():
            raise Interrupted

    sides = ((codes, side) for codes in metrics for side in (True, False))
    if way.in_parts:
        arrays: list[Packed] = []
        parting = Parting(material, way, pulse)
        for codes, side in sides:
            arrays.append(parting.packed(_rows(codes[side]), arrays[-2] if len(arrays) > 1 else None))
        numbers = [array.layout.number for array in arrays]
        count, rows = len(arrays) // 2, [part for array in arrays for part in array.parts]
        layouts = _LAYOUTS.pack(*numbers, *[0] * (_LAYOUTS.size - len(numbers)))
    else:
        packed_whole = [_packed_whole(_rows(codes[side]), way, pulse) for codes, side in sides]
        count, rows, layouts = len(packed_whole) // 2, [row for array in packed_whole for row in array], b""
    ends = np.cumsum([len(row) for row in rows], dtype="<u4").tobytes()
    rest = struct.pack("<8sII", material.name.encode(), count, len(rows)) + layouts + ends
    size = _HEAD.size + len(layouts) + len(ends) + sum(map(len, rows))
    return [struct.pack("<16sIQI", MAGIC, way.version, size, zlib.crc32(rest)), rest, *rows]


def _packed_whole(table: Codes, way: Packing, pulse: Callable[[], None]) -> list[bytes]:
    found = []
    for row in table:
        pulse()
        found.append(b"" if (row == ILLEGAL).all() else way.pack(row))
    return found


def _rows(codes: Codes) -> Codes:
    return codes.reshape(codes.shape[0] * codes.shape[1], -1)


_MATES_AS_LEGS = {side: legs.tobytes() for side, legs in MATES_AS_LEGS.items()}


@cache
def _no_positions(size: int) -> bytes:
    return bytes([ILLEGAL]) * size


def in_memory(material: Material, metrics: Iterable[Both], interrupted: Callable[[], bool]) -> Kept:
    """Return the codes of an ending packed in memory; see `packed`."""
    return Kept(material, Memory(packed(material, metrics, interrupted)))


class Stored:
    """A large row as it stands in a file, to be read part by part.

    Attributes
    ----------
    kept : the file
    form : of the parts
    exchanged : whether it stands there with files and ranks exchanged
    """

    __slots__ = ("_array", "_empty", "_legs", "_number", "exchanged", "form", "kept")

    def __init__(
        self, kept: Kept, form: RowForm, exchanged: bool, array: int, number: int, empty: bool, legs: bytes | None
    ) -> None:
        self.kept, self.form, self.exchanged = kept, form, exchanged
        self._array, self._number, self._empty, self._legs = array, number, empty, legs

    def part(self, part: int) -> bytes | Arranged:
        """Return one of the parts in its short form (see `row_form`), empty where the row has no positions.

        Raises
        ------
        Damaged
            as for a row
        """
        if self._empty:
            return b""
        codes = self.kept.part(self._array, self._number, part)
        return codes if self._legs is None else bytes(codes).translate(self._legs)


class Kept:
    """One ending, packed, open for reading.

    Attributes
    ----------
    size : bytes it takes
    on_disk : whether it is a file
    metrics : how many it holds, 1 or 2

    Raises
    ------
    Damaged
        when the source is not what it should be
    """

    #: Of each metric and side; none where rows are packed whole.
    _layouts: tuple[Layout, ...] = ()

    def __init__(self, material: Material, source: Source) -> None:
        self.material = material
        self.size, self.on_disk = source.size, source.on_disk
        self._source = source
        self._row_bytes = row_bytes(material)
        self._homes = len(REDUCTION[material.has_pawns].home)
        self.metrics = self._check()

    def _check(self) -> int:
        if self.size < _HEAD.size:
            raise Damaged("is too short")
        magic, version, size, crc, name, metrics, rows = _HEAD.unpack(self._bytes(0, _HEAD.size))
        if magic != MAGIC:
            raise Damaged("is no table file")
        way = packing_of(len(self.material.men), version)
        if isinstance(way, str):
            raise Damaged(way)
        self._way = way
        if size != self.size:
            raise Damaged("is truncated")
        index = _HEAD.size + _LAYOUTS.size * way.arranged
        self._first = index + 4 * rows
        if self._first > size or zlib.crc32(self._bytes(_HEAD.size - 16, self._first)) != crc:
            raise Damaged("has a wrong checksum")
        if name.rstrip(b"\0").decode("ascii", "replace") != self.material.name:
            raise Damaged("is of another ending")
        if metrics not in (1, 2) or not self._is_laid_out(metrics, rows):
            raise Damaged("has another layout")
        ends = np.frombuffer(b"\0" * 4 + self._bytes(index, self._first), dtype="<u4")
        if (ends[1:] < ends[:-1]).any() or self._first + int(ends[-1]) != size:
            raise Damaged("has another layout")
        self._ends = ends
        return int(metrics)

    def _is_laid_out(self, metrics: int, rows: int) -> bool:
        """Find the layouts and where each begins in the index; tell whether that makes so many rows."""
        arrays = 2 * metrics
        if self._way.arranged:
            numbers = _LAYOUTS.unpack(self._bytes(_HEAD.size, _HEAD.size + _LAYOUTS.size))
            found = [layout(self.material, place // 2, number) for place, number in enumerate(numbers[:arrays])]
            if None in found:
                return False
            self._layouts = tuple(one for one in found if one is not None)
        elif self._way.in_parts:
            self._layouts = (older_layout(self.material),) * arrays
        self._parts = [one.form.parts for one in self._layouts] or [1] * arrays
        self._starts = [sum(self._parts[:array]) * self._homes * 64 for array in range(arrays + 1)]
        return rows == self._starts[-1]

    def _bytes(self, start: int, end: int) -> bytes:
        try:
            found = self._source.read(start, end)
        except OSError as fault:
            raise Damaged(f"cannot be read ({fault})") from None
        if len(found) != end - start:
            raise Damaged("is truncated")
        return found

    @property
    def in_parts(self) -> bool:
        """Whether rows are packed in parts."""
        return bool(self._layouts)

    def row(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        """Return one row of codes.

        Raises
        ------
        Damaged
            when the row cannot be read, its own checksum is wrong, or it would unpack to another size
        """
        array = self._array(metric, white_to_move)
        number, exchanged = self._found(array, king_class * 64 + black_king)
        if self._is_empty(array, number):
            return _no_positions(self._row_bytes)
        if not self._layouts:
            row = self._unpacked(self._packed(self._starts[array] + number), self._row_bytes)
        else:
            form = self._layouts[array].form
            short = b"".join(bytes(self.part(array, number, part)) for part in range(form.parts))
            home = REDUCTION[self.material.has_pawns].home[king_class]
            codes = form.whole(np.frombuffer(short, np.uint8), white_to_move, home, number % 64)
            row = (exchanged_row(codes, form.men) if exchanged else codes).tobytes()
        return row if metric < self.metrics else row.translate(_MATES_AS_LEGS[white_to_move])

    def stored(self, metric: int, white_to_move: bool, king_class: int, black_king: int) -> Stored | None:
        """Return a row to be read in parts, None where rows are packed whole."""
        if not self._layouts:
            return None
        array = self._array(metric, white_to_move)
        number, exchanged = self._found(array, king_class * 64 + black_king)
        legs = None if metric < self.metrics else _MATES_AS_LEGS[white_to_move]
        return Stored(self, self._layouts[array].form, exchanged, array, number, self._is_empty(array, number), legs)

    def _array(self, metric: int, white_to_move: bool) -> int:
        return min(metric, self.metrics - 1) * 2 + (not white_to_move)

    def _found(self, array: int, number: int) -> tuple[int, bool]:
        """Return which row holds the codes of a row, and whether that is its mirror image."""
        other = twin(self.material, number) if self._layouts and self._is_empty(array, number) else None
        return (number, False) if other is None else (other, True)

    def _is_empty(self, array: int, number: int) -> bool:
        place = self._starts[array] + number * self._parts[array]
        return bool(self._ends[place] == self._ends[place + self._parts[array]])

    def part(self, array: int, number: int, part: int) -> bytes | Arranged:
        """Return a part of a row, which is known not to be empty; see `Stored`."""
        how = self._layouts[array]
        codes = self._part(array, number, part)
        if not how.by_mate or self._is_empty(array - 2, number):
            return codes
        return Arranged(codes, self._between(array - 2, number, *how.form.bounds[part : part + 2]))

    def _part(self, array: int, number: int, part: int) -> bytes:
        """Return a part of a row as it stands in the file."""
        start, end = self._layouts[array].form.bounds[part : part + 2]
        return self._unpacked(self._packed(self._starts[array] + number * self._parts[array] + part), end - start)

    def _short(self, array: int, number: int) -> Codes:
        """Return a row that is not empty as it stands in the file, all parts of it read at once."""
        first, bounds = self._starts[array] + number * self._parts[array], self._layouts[array].form.bounds
        ends = self._ends[first : first + self._parts[array] + 1].tolist()
        packed = memoryview(self._bytes(self._first + ends[0], self._first + ends[-1]))
        short = np.empty(bounds[-1], np.uint8)
        for (start, end), (begin, stop) in zip(pairwise(bounds), pairwise(ends), strict=True):
            codes = self._unpacked(packed[begin - ends[0] : stop - ends[0]], end - start)
            short[start:end] = np.frombuffer(codes, np.uint8)
        return short

    def _between(self, array: int, number: int, start: int, end: int) -> bytes:
        """Return the codes to mate between two places of a short row."""
        bounds = self._layouts[array].form.bounds
        first, last = bisect_right(bounds, start) - 1, bisect_left(bounds, end)
        found = b"".join(self._part(array, number, part) for part in range(first, last))
        return found[start - bounds[first] : end - bounds[first]]

    def _packed(self, number: int) -> bytes:
        return self._bytes(self._first + int(self._ends[number]), self._first + int(self._ends[number + 1]))

    def _unpacked(self, packed: bytes | memoryview, size: int) -> bytes:
        try:
            return self._way.unpack(packed, size)
        except Unusable as fault:
            raise Damaged(f"has a row that {fault}") from None

    def present(self, metric: int, white_to_move: bool, pulse: Callable[[], None] = lambda: None) -> frozenset[int]:
        """Return which codes there are with one side to move, of rows packed in parts; see `codes`."""
        array = self._array(metric, white_to_move)
        rows = [number for number in range(self._homes * 64) if not self._is_empty(array, number)]
        found = np.zeros((len(rows), 256), np.bool_)

        def look(row: int, hand: int) -> None:
            note(self._short(array, rows[row]), found[row])  # in what order they stand does not matter

        Crew(pulse).each(range(len(rows)), look)
        codes = np.flatnonzero(found.any(axis=0)).astype(np.uint8)
        return frozenset((codes if metric < self.metrics else MATES_AS_LEGS[white_to_move][codes]).tolist())

    def longest_wins(self, metric: int, white_to_move: bool, pulse: Callable[[], None] = lambda: None) -> list[int]:
        """Return the highest code of a win in each row, 0 where there is none; see `codes`."""
        if not self._layouts:
            return [longest_win(row) for row in self.codes(metric, white_to_move).reshape(self._homes * 64, -1)]
        array = self._array(metric, white_to_move)
        longest = np.zeros(self._homes * 64, np.intp)
        legs = None if metric < self.metrics else MATES_AS_LEGS[white_to_move]

        def look(number: int, hand: int) -> None:
            if not self._is_empty(array, number):
                codes = self._short(array, number)  # in what order they stand does not matter
                longest[number] = longest_win(codes if legs is None else legs[codes])

        Crew(pulse).each(range(len(longest)), look)
        return [int(longest[self._found(array, number)[0]]) for number in range(len(longest))]

    def codes(self, metric: int, white_to_move: bool, pulse: Callable[[], None] = lambda: None) -> Codes:
        """Return all codes of one metric and side in the reduced layout.

        `pulse` : called between rows where there are many large ones; may raise to stop the reading
        """
        shape = (self._homes, 64, *(len(squares_of(man)) for man, _ in self.material.men))
        found = np.empty(shape, np.uint8)
        rows = found.reshape(self._homes * 64, -1)
        if not self._layouts:
            start = self._starts[self._array(metric, white_to_move)]
            for number, row in enumerate(self._rows(start, len(rows))):
                rows[number] = np.frombuffer(row, np.uint8)
            return found if metric < self.metrics else MATES_AS_LEGS[white_to_move][found]

        legs = None if metric < self.metrics else MATES_AS_LEGS[white_to_move]

        def read(number: int, hand: int) -> None:
            self._write(self._array(metric, white_to_move), number, rows[number])
            if legs is not None:
                legs.take(rows[number], out=rows[number])

        Crew(pulse).each(range(len(rows)), read)
        return found

    def _write(self, array: int, row: int, out: Codes) -> None:
        """Write a large row whole, one of many."""
        number, exchanged = self._found(array, row)
        if self._is_empty(array, number):
            out[:] = ILLEGAL
            return
        how, home = self._layouts[array], REDUCTION[self.material.has_pawns].home[number // 64]
        short = self._short(array, number)
        if how.by_mate and not self._is_empty(array - 2, number):
            mates = self._short(array - 2, number)
            for start, end in pairwise(how.form.bounds):
                short[start:end] = by_place(short[start:end], mates[start:end], of_many=True)
        how.form.written(short, array % 2 == 0, home, number % 64, out)
        if exchanged:
            out[:] = exchanged_row(out, how.form.men)

    def _rows(self, first: int, count: int) -> Iterator[bytes]:
        """Yield rows one after the other, all of them read at once."""
        ends = self._ends[first : first + count + 1].tolist()
        packed = memoryview(self._bytes(self._first + ends[0], self._first + ends[-1]))
        for start, end in pairwise(ends):
            if start == end:
                yield _no_positions(self._row_bytes)
            else:
                yield self._unpacked(packed[start - ends[0] : end - ends[0]], self._row_bytes)
