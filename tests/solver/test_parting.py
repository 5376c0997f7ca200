"""Rows packed in parts, with endings of few men packed as those of five are: every code comes back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.solver import packing, parting, table_file
from matebot.solver.codes import ILLEGAL, longest_win
from matebot.solver.geometry import Codes
from matebot.solver.lookup import PartedRow
from matebot.solver.material import Material
from matebot.solver.packing import Packing
from matebot.solver.parting import Arranged, by_mate, by_place
from matebot.solver.sources import Damaged, Memory
from matebot.solver.symmetry import REDUCTION
from matebot.solver.table_file import Kept
from matebot.solver.tables import METRICS, Tables

METRIC_CODES = list[dict[bool, Codes]]


@pytest.fixture(autouse=True)
def in_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pack and read endings of any number of men as those of five."""
    way = packing.packing(3)
    monkeypatch.setattr(table_file, "packing", lambda men: way)
    monkeypatch.setattr(table_file, "packing_of", lambda men, version: way)


def codes_of(tables: Tables, material: Material) -> METRIC_CODES:
    return [{side: tables.codes(material, side, metric) for side in (True, False)} for metric in METRICS]


def pieces(material: Material, metrics: METRIC_CODES) -> list[bytes]:
    return table_file.packed(material, metrics, lambda: False)


@pytest.mark.parametrize(
    ("ending", "metrics", "part_codes"),
    [
        ("KBBK", 2, (256, 1024)),
        ("KPK", 2, None),
        ("KRK", 1, None),
        pytest.param("KRKN", 2, None, marks=pytest.mark.exhaustive),
        pytest.param("KBBK", 1, None, marks=pytest.mark.exhaustive),
    ],
)
def test_what_was_packed_comes_back_code_by_code_and_whole(
    ending: str, metrics: int, part_codes: tuple[int, int] | None, tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where every leg ends in mate, legs may be left out; rows of five men have several parts."""
    if part_codes is not None:
        monkeypatch.setattr(parting, "_PART_CODES", part_codes)
    material = Material.parse(ending)
    expected = codes_of(tables, material)
    kept = Kept(material, Memory(pieces(material, expected[:metrics])))
    assert kept.metrics == metrics
    assert [layout.form.parts > 1 for layout in kept._layouts] == [part_codes is not None] * 2 * metrics
    random, homes = np.random.default_rng(3), REDUCTION[material.has_pawns].home
    for metric, codes in enumerate(expected):
        for side in (True, False):
            assert (kept.codes(metric, side) == codes[side]).all()
            there = set(np.flatnonzero(np.bincount(codes[side].reshape(-1))).tolist())
            assert kept.present(metric, side) - {ILLEGAL} == there - {ILLEGAL}
            rows = codes[side].reshape(len(homes) * 64, -1)
            assert kept.longest_wins(metric, side) == [longest_win(row) for row in rows]
            for king, black in random.integers(0, [len(homes), 64], (60, 2)).tolist():
                stored = kept.stored(metric, side, king, black)
                assert stored is not None
                where = side, homes[king], black, stored.exchanged
                row = PartedRow(stored.form, where, stored.part, lambda part: None)
                flat = codes[side][king, black].reshape(-1)
                places = random.integers(0, flat.size, 40)
                assert [row[place] for place in places.tolist()] == flat[places].tolist()
                assert (row.codes(places) == flat[places]).all()
            assert kept.row(metric, side, king, black) == flat.tobytes()


def is_left_out(kept: Kept, side: bool, place: tuple[int, ...]) -> bool:
    stored = kept.stored(0, side, *place)
    return stored is not None and stored.exchanged


def test_without_pawns_mirror_images_are_left_out_and_no_others(tables: Tables) -> None:
    material = Material.parse("KRKN")
    metrics = codes_of(tables, material)
    kept = Kept(material, Memory(pieces(material, metrics)))
    left_out = [place for place in np.ndindex(10, 64) if is_left_out(kept, True, place)]
    assert len(left_out) == 4 * 28  # the four squares of the triangle on the diagonal, the 28 squares above it
    odd = {side: codes.copy() for side, codes in metrics[0].items()}
    king, black = left_out[-1]
    place = np.flatnonzero(odd[True][king, black].reshape(-1) < 128)[0]
    odd[True][king, black].reshape(-1)[place] += 1
    other = Kept(material, Memory(pieces(material, [odd])))
    assert not is_left_out(other, True, (king, black))
    assert (other.codes(0, True) == odd[True]).all()
    assert is_left_out(other, False, (king, black))


def test_legs_of_a_row_whose_mates_are_left_out_stand_in_their_places(tables: Tables) -> None:
    material = Material.parse("KRKN")
    mates, legs = codes_of(tables, material)
    odd = {side: codes.copy() for side, codes in legs.items()}
    for side in (True, False):
        odd[side][0, 16].reshape(-1)[np.flatnonzero(odd[side][0, 16].reshape(-1) == 128)[:9]] = 5
    kept = Kept(material, Memory(pieces(material, [mates, odd])))
    assert any(how.by_mate for how in kept._layouts)
    for side in (True, False):
        assert is_left_out(kept, side, (0, 8 * 2))
        assert (kept.codes(1, side) == odd[side]).all()


def test_a_part_of_legs_does_not_outlive_the_mates_it_goes_by(tables: Tables) -> None:
    material = Material.parse("KRKN")
    whole = pieces(material, codes_of(tables, material))
    kept = Kept(material, Memory(whole))
    assert any(how.by_mate for how in kept._layouts)
    array = next(n for n, how in enumerate(kept._layouts) if how.by_mate)
    row = next(n for n in range(640) if not kept._is_empty(array, n))
    number = kept._starts[array - 2] + row * kept._parts[array - 2]
    spoilt = bytearray(whole[2 + number])
    spoilt[-1] ^= 1
    broken = Kept(material, Memory([*whole[: 2 + number], bytes(spoilt), *whole[3 + number :]]))
    with pytest.raises(Damaged, match="has a row that"):
        broken.part(array, row, 0)


@given(st.lists(st.tuples(st.integers(0, 255), st.integers(0, 255)), max_size=80))
def test_codes_by_mate_are_those_by_place_with_the_same_distances_together(both: list[tuple[int, int]]) -> None:
    codes, mates = (np.array([pair[n] for pair in both], np.uint8) for n in (0, 1))
    arranged = by_mate(codes, mates)
    assert arranged.tolist() == [code for code, _ in sorted(both, key=lambda pair: pair[1])]
    assert (by_place(arranged, mates) == codes).all()
    lone = [Arranged(arranged.tobytes(), mates.tobytes())[place] for place in range(len(both))]
    assert lone == codes.tolist()
    part = Arranged(arranged.tobytes(), mates.tobytes())
    assert bytes([part[place] for place in range(len(both))]) == bytes(part) == codes.tobytes()


def test_legs_are_put_in_their_places_only_where_many_of_a_part_are_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    done = list[int]()

    def noted(codes: Codes, mates: Codes) -> Codes:
        done.append(len(codes))
        return by_place(codes, mates)

    monkeypatch.setattr(parting, "by_place", noted)
    random = np.random.default_rng(5)
    mates, codes = random.integers(0, 250, (2, 3_000)).astype(np.uint8)
    part = Arranged(by_mate(codes, mates).tobytes(), mates.tobytes())
    assert [part[place] for place in range(16)] == codes[:16].tolist()
    assert not done
    assert [part[place] for place in range(200)] == codes[:200].tolist()
    assert done == [3_000]


def test_an_ending_without_any_position_is_packed() -> None:
    nothing = np.full((10, 64, 64, 64), 255, np.uint8)
    material = Material.parse("KRKN")
    kept = Kept(material, Memory(pieces(material, [{True: nothing, False: nothing}])))
    assert set(kept.row(0, True, 3, 17)) == {255}
    assert isinstance(packing.packing_of(3, 5), Packing)
