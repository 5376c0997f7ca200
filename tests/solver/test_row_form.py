"""Rows in the form they are packed in: what is left out is told again from the squares alone."""

from __future__ import annotations

import lzma
import struct
import zlib
from functools import partial
from math import comb
from random import Random

import chess
import numpy as np
import pytest

from matebot.solver import table_file
from matebot.solver.codes import DRAW, ILLEGAL, squares_of
from matebot.solver.geometry import Codes
from matebot.solver.lookup import PartedRow
from matebot.solver.material import Material
from matebot.solver.packing import Packing, packing_of
from matebot.solver.row_form import PARTS, row_form
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Damaged, Kept, Memory
from matebot.solver.tables import Tables


def _is_position(material: Material, squares: list[int], white_to_move: bool) -> bool:
    """Whether all men have squares of their own and the side that has moved is not in check."""
    board = chess.Board(None)
    for square, (man, white) in zip(squares, [("K", True), ("K", False), *material.men], strict=True):
        board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white))
    board.turn = white_to_move
    return len(set(squares)) == len(squares) and not board.was_into_check()


@pytest.mark.parametrize("ending", ["KRKN", "KBBK", "KPK"])
def test_a_row_made_short_and_whole_again_is_the_same(ending: str, tables: Tables) -> None:
    material, random = Material.parse(ending), Random(ending)
    form, home = row_form(material), REDUCTION[material.has_pawns].home
    for side in (True, False):
        codes = tables.codes(material, side)
        for _ in range(40):
            king, black_king = random.randrange(len(home)), random.randrange(64)
            row = codes[king, black_king].reshape(-1)
            if (row != ILLEGAL).any():
                short = form.short(row)
                assert ILLEGAL not in short[short.tolist().index(DRAW) if DRAW in short else -1 :]
                assert (form.whole(short, side, home[king], black_king) == row).all()


@pytest.mark.parametrize("ending", ["KRNKR", "KQBKP", "KPPKP", "KBBBK"])
def test_with_five_men_the_placements_that_are_no_positions_are_those_of_python_chess(ending: str) -> None:
    material, random = Material.parse(ending, largest=5), Random(ending)
    form, home = row_form(material), REDUCTION[material.has_pawns].home
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


def test_of_men_that_are_alike_one_order_is_kept() -> None:
    assert row_form(Material.parse("KBBBK", largest=5)).size == comb(64, 3)
    assert row_form(Material.parse("KPPKP", largest=5)).size == comb(48, 2) * 48
    assert row_form(Material.parse("KRNKR", largest=5)).size == 64**3


def _file(material: Material, version: int, rows: list[bytes]) -> list[bytes]:
    """Return the pieces of a file of one metric."""
    ends = np.cumsum([len(row) for row in rows], dtype="<u4").tobytes()
    rest = struct.pack("<8sII", material.name.encode(), 1, len(rows)) + ends
    size = table_file._HEAD.size + len(ends) + sum(map(len, rows))
    return [struct.pack("<16sIQI", table_file.MAGIC, version, size, zlib.crc32(rest)), rest, *rows]


def _one_row(material: Material, version: int, number: int, row: Codes) -> Kept:
    """Return a packed ending of one metric that holds one row and no positions beside."""
    form = row_form(material)
    way = packing_of(form.men, version)
    assert isinstance(way, Packing)
    rows = [[b""] * PARTS] * (2 * len(REDUCTION[material.has_pawns].home) * 64)
    rows[number] = [way.pack(part) for part in np.split(form.short(row), form.bounds[1:-1])]
    return Kept(material, Memory(_file(material, version, [part for parts in rows for part in parts])))


@pytest.mark.parametrize("version", [3, 4])
@pytest.mark.parametrize("ending", ["KBBBK", "KRNKR", "KPPKP"])
def test_a_file_of_five_men_is_read_in_either_of_its_versions(ending: str, version: int) -> None:
    material, random = Material.parse(ending, largest=5), np.random.default_rng(1)
    form, home, black_king = row_form(material), REDUCTION[material.has_pawns].home, chess.H8
    row = form.whole(random.integers(0, DRAW, form.size, dtype=np.uint8), True, home[4], black_king)
    kept = _one_row(material, version, 4 * 64 + black_king, row)
    assert kept.row(0, True, 4, black_king) == row.tobytes()
    assert set(kept.row(0, True, 4, chess.A8)) == {ILLEGAL}


@pytest.mark.parametrize("ending", ["KBBBK", "KBBKN", "KRNKR", "KPPKP"])
def test_of_a_parted_row_only_what_is_asked_for_is_read_and_it_is_what_the_whole_row_says(ending: str) -> None:
    material, random = Material.parse(ending, largest=5), np.random.default_rng(2)
    form, home, black_king = row_form(material), REDUCTION[material.has_pawns].home, chess.G7
    row = form.whole(random.integers(0, DRAW, form.size, dtype=np.uint8), False, home[3], black_king)
    number = len(home) * 64 + 3 * 64 + black_king
    kept, counted = _one_row(material, 3, number, row), list[bytes]()
    read = partial(kept.part, 0, False, 3, black_king)
    parted = PartedRow(form, (False, home[3], black_king), read, counted.append)
    assert len(parted) == 0
    some = next(place for place, code in enumerate(row.tolist()) if code != ILLEGAL)
    assert parted[some] == row[some]
    assert sum(map(len, counted)) == len(parted) <= max(np.diff(form.bounds))
    for place in random.integers(0, row.size, 3_000).tolist():
        assert parted[place] == row[place]
    assert sum(map(len, counted)) == len(parted) == form.size
    assert kept.part(0, True, 0, 0, 5) == b""
    assert PartedRow(form, (True, home[0], chess.G7), lambda part: b"", counted.append)[some] == ILLEGAL


def test_any_other_version_or_number_of_rows_is_refused() -> None:
    for ending, version in (("KBBBK", 2), ("KBBBK", 5), ("KRK", 3)):
        material = Material.parse(ending, largest=5)
        with pytest.raises(Damaged, match=f"has format version {version}, not {4 if ending == 'KBBBK' else 2}"):
            Kept(material, Memory(_file(material, version, [b""] * (2 * 10 * 64))))
    kbbbk = Material.parse("KBBBK", largest=5)
    with pytest.raises(Damaged, match="has another layout"):
        Kept(kbbbk, Memory(_file(kbbbk, 3, [b""] * (2 * 10 * 64))))


def test_a_part_of_wrong_length_is_found() -> None:
    material = Material.parse("KBBBK", largest=5)
    rows = [lzma.compress(b"\0" * 1000), *[b""] * (2 * 10 * 64 * PARTS - 1)]
    kept = Kept(material, Memory(_file(material, 3, rows)))
    with pytest.raises(Damaged, match="has a row that is of wrong length"):
        kept.row(0, True, 0, 0)
    with pytest.raises(Damaged, match="has a row that is of wrong length"):
        kept.part(0, True, 0, 0, 0)
