"""Rows in the form they are packed in: what is left out is told again from the squares alone."""

from __future__ import annotations

import lzma
import struct
import zlib
from math import comb
from random import Random

import chess
import numpy as np
import pytest

from matebot.solver import table_file
from matebot.solver.codes import DRAW, ILLEGAL, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.lookup import PartedRow, Row, codes_at
from matebot.solver.material import Material
from matebot.solver.packing import Packing, packing_of
from matebot.solver.parting import layout
from matebot.solver.row_form import OLDER_PARTS, exchanged_row, orders, row_form
from matebot.solver.sources import Damaged, Memory
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Kept
from matebot.solver.tables import Tables
from tests.counting import counts


def _is_position(material: Material, squares: list[int], white_to_move: bool) -> bool:
    """Whether all men have squares of their own and the side that has moved is not in check."""
    board = chess.Board(None)
    for square, (man, white) in zip(squares, [("K", True), ("K", False), *material.men], strict=True):
        board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white))
    board.turn = white_to_move
    return len(set(squares)) == len(squares) and not board.was_into_check()


@counts(8, 20)
@pytest.mark.parametrize(("ending", "order"), [("KRKN", None), ("KBKN", 1), ("KBBK", None), ("KBBK", 0), ("KPK", 0)])
def test_a_row_made_short_and_whole_again_is_the_same(
    ending: str, order: int | None, count: int, tables: Tables
) -> None:
    material, random = Material.parse(ending), Random(ending)
    form, home = row_form(material, order, 8), REDUCTION[material.has_pawns].home
    for side in (True, False):
        codes = tables.codes(material, side)
        for _ in range(count):
            king, black_king = random.randrange(len(home)), random.randrange(64)
            row = codes[king, black_king].reshape(-1)
            if (row != ILLEGAL).any():
                short = form.short(row)
                assert ILLEGAL not in short[short.tolist().index(DRAW) if DRAW in short else -1 :]
                assert (form.whole(short, side, home[king], black_king) == row).all()


@pytest.mark.parametrize("ending", ["KRNKR", "KQBKP", "KPPKP", "KBBBK"])
def test_with_five_men_the_placements_that_are_no_positions_are_those_of_python_chess(ending: str) -> None:
    material, random = Material.parse(ending, largest=5), Random(ending)
    form, home = row_form(material, 0, 8), REDUCTION[material.has_pawns].home
    squares, seen = [squares_of(man) for man, _ in material.men], {True: 0, False: 0}
    for side in (True, False):
        for _ in range(6):
            white_king, black_king = random.choice(home), random.randrange(64)
            if chess.square_distance(white_king, black_king) < 2:
                continue
            row = form.whole(np.full(form.size, DRAW, np.uint8), side, white_king, black_king)
            row = row.reshape([len(one) for one in squares])
            for _ in range(150):
                at = [random.randrange(len(one)) for one in squares]
                men = [int(one[place]) for one, place in zip(squares, at, strict=True)]
                legal = _is_position(material, [white_king, black_king, *men], side)
                assert (row[tuple(at)] != ILLEGAL) == legal, (white_king, black_king, men)
                seen[legal] += 1
    assert min(seen.values()) > 100


@pytest.mark.parametrize("order", [None, 0])
def test_of_men_that_are_alike_one_order_of_squares_is_kept(order: int | None) -> None:
    assert row_form(Material.parse("KBBBK", largest=5), order, 8).size == comb(64, 3)
    assert row_form(Material.parse("KPPKP", largest=5), order, 8).size == comb(48, 2) * 48
    assert row_form(Material.parse("KRNKR", largest=5), order, 8).size == 64**3


def test_a_bishops_squares_of_one_colour_come_together() -> None:
    """Squares of one colour: a1 is dark, and so is every second square from it."""
    form = row_form(Material.parse("KBK"), 0, 1)
    places = [form.short_place(square, False, chess.A8, chess.H8) for square in chess.SQUARES]
    colours = [bool(chess.BB_DARK_SQUARES >> places.index(n) & 1) for n in places if n >= 0]
    assert [n < 32 for n in places if n >= 0] == colours


def test_files_and_ranks_are_exchanged_as_on_the_board() -> None:
    row = np.random.default_rng(4).integers(0, 256, 64 * 64, np.uint8)
    places = [(chess.square(rank, file), rank * 8 + file) for rank in range(8) for file in range(8)]
    turned = np.zeros_like(row)
    for there, here in places:
        for other, this in places:
            turned[there * 64 + other] = row[here * 64 + this]
    assert (exchanged_row(row, 2) == turned).all()


def _file(material: Material, version: int, rows: list[bytes], layouts: bytes = b"") -> list[bytes]:
    """Return the pieces of a file of one metric."""
    ends = np.cumsum([len(row) for row in rows], dtype="<u4").tobytes()
    rest = struct.pack("<8sII", material.name.encode(), 1, len(rows)) + layouts + ends
    size = table_file._HEAD.size + len(layouts) + len(ends) + sum(map(len, rows))
    return [struct.pack("<16sIQI", table_file.MAGIC, version, size, zlib.crc32(rest)), rest, *rows]


def _one_row(material: Material, version: int, number: int, row: Codes, order: int | None = None) -> Kept:
    """Return a packed ending of one metric that holds one row and no positions beside."""
    way = packing_of(3, version)
    assert isinstance(way, Packing)
    how = None if order is None else layout(material, 0, order)
    form = row_form(material, None, OLDER_PARTS) if how is None else how.form
    rows = [[b""] * form.parts] * (2 * len(REDUCTION[material.has_pawns].home) * 64)
    rows[number] = [way.pack(part) for part in np.split(form.short(row), form.bounds[1:-1])]
    layouts = b"" if order is None else bytes([order, order, 0, 0])
    return Kept(material, Memory(_file(material, version, [part for parts in rows for part in parts], layouts)))


VERSIONS = [(3, None), (4, None), (5, 0), (5, -1), (6, 0)]


@pytest.mark.parametrize(("version", "order"), VERSIONS)
@pytest.mark.parametrize("ending", ["KBBBK", "KRNKR", "KPPKP"])
def test_a_file_of_five_men_is_read_in_each_of_its_versions(ending: str, version: int, order: int | None) -> None:
    material, random = Material.parse(ending, largest=5), np.random.default_rng(1)
    form, home, black_king = row_form(material, None, OLDER_PARTS), REDUCTION[material.has_pawns].home, chess.H8
    row = form.whole(random.integers(0, DRAW, form.size, dtype=np.uint8), True, home[4], black_king)
    number = None if order is None else order % len(orders(material))
    kept = _one_row(material, version, 4 * 64 + black_king, row, number)
    assert kept.row(0, True, 4, black_king) == row.tobytes()
    assert set(kept.row(0, True, 4, chess.A8)) == {ILLEGAL}


@pytest.mark.parametrize(("version", "order"), VERSIONS)
@pytest.mark.parametrize("ending", ["KBBBK", "KBBKN", "KRNKR", "KPPKP"])
def test_of_a_parted_row_only_what_is_asked_for_is_read_and_it_is_what_the_whole_row_says(
    ending: str, version: int, order: int | None
) -> None:
    material, random = Material.parse(ending, largest=5), np.random.default_rng(2)
    older, home, black_king = row_form(material, None, OLDER_PARTS), REDUCTION[material.has_pawns].home, chess.G7
    row = older.whole(random.integers(0, DRAW, older.size, dtype=np.uint8), False, home[3], black_king)
    number = None if order is None else order % len(orders(material))
    kept, counted = _one_row(material, version, (len(home) + 3) * 64 + black_king, row, number), list[Row]()
    stored, nothing = kept.stored(0, False, 3, black_king), kept.stored(0, True, 0, 0)
    assert stored is not None
    assert nothing is not None
    form = stored.form
    parted = PartedRow(form, (False, home[3], black_king, False), stored.part, counted.append)
    assert len(parted) == 0
    some = next(place for place, code in enumerate(row.tolist()) if code != ILLEGAL)
    assert parted[some] == row[some]
    assert sum(map(len, counted)) == len(parted) <= max(np.diff(form.bounds))
    places = random.integers(0, row.size, 2_000)
    assert [parted[place] for place in places.tolist()] == row[places].tolist()
    assert 0.9 * form.size < sum(map(len, counted)) == len(parted) <= form.size
    assert nothing.part(5) == b""
    again = PartedRow(form, (False, home[3], black_king, False), stored.part, counted.append)
    assert (again.codes(places) == row[places]).all()
    assert (
        codes_at(PartedRow(form, (True, home[0], 60, False), nothing.part, counted.append), places) == ILLEGAL
    ).all()
    assert PartedRow(form, (True, home[0], chess.G7, False), lambda part: b"", counted.append)[some] == ILLEGAL


def test_any_other_version_or_number_of_rows_is_refused() -> None:
    for ending, version in (("KBBBK", 2), ("KBBBK", 7), ("KRK", 3), ("KRK", 5)):
        material = Material.parse(ending, largest=5)
        with pytest.raises(Damaged, match=f"has format version {version}, not {5 if ending == 'KBBBK' else 2}"):
            Kept(material, Memory(_file(material, version, [b""] * (2 * 10 * 64))))
    kbbbk = Material.parse("KBBBK", largest=5)
    for version, layouts in ((3, b""), (5, bytes(4))):
        with pytest.raises(Damaged, match="has another layout"):
            Kept(kbbbk, Memory(_file(kbbbk, version, [b""] * (2 * 10 * 64), layouts)))


@pytest.mark.parametrize("number", [1, 0x7F, 0x80])
def test_an_order_that_the_men_do_not_have_and_distances_to_mate_by_themselves_are_refused(number: int) -> None:
    kbbbk = Material.parse("KBBBK", largest=5)
    how = layout(kbbbk, 0, 0)
    assert how is not None
    rows = [b""] * (2 * 10 * 64 * how.form.parts)
    assert Kept(kbbbk, Memory(_file(kbbbk, 5, rows, bytes(4)))).metrics == 1
    with pytest.raises(Damaged, match="has another layout"):
        Kept(kbbbk, Memory(_file(kbbbk, 5, rows, bytes([0, number, 0, 0]))))


def test_a_part_of_wrong_length_is_found() -> None:
    material = Material.parse("KBBBK", largest=5)
    rows = [lzma.compress(b"\0" * 1000), *[b""] * (2 * 10 * 64 * OLDER_PARTS - 1)]
    kept = Kept(material, Memory(_file(material, 3, rows)))
    with pytest.raises(Damaged, match="has a row that is of wrong length"):
        kept.row(0, True, 0, 0)
    with pytest.raises(Damaged, match="has a row that is of wrong length"):
        kept.part(0, 0, 0)
