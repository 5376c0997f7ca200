"""The loops that numba compiles do what numpy does with whole arrays; here as plain Python, so that nobody waits."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable
from types import ModuleType

import numpy as np
import pytest

from matebot.solver import compiled, tools
from matebot.solver.attractor import Attractor, Distances
from matebot.solver.compiled import CompiledMoves, CompiledSets, CompiledSpreading
from matebot.solver.conversions import Spreading, conversions
from matebot.solver.crew import Crew
from matebot.solver.geometry import Words
from matebot.solver.legs import _levels, _Slab
from matebot.solver.material import COVERED, Material
from matebot.solver.moves import Moves
from matebot.solver.parting import by_mate
from matebot.solver.placement import Placement
from matebot.solver.retrograde import Solver
from matebot.solver.row_form import RowForm
from matebot.solver.sets import Sets
from matebot.solver.tables import Tables
from tests.five_men import five


@pytest.fixture
def plain(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Have the loops as they are where numba is not installed."""
    sets = _plain("set_kernels", monkeypatch)
    monkeypatch.setattr(compiled, "set_kernels", sets)
    monkeypatch.setitem(sys.modules, "matebot.solver.set_kernels", sets)  # the other loops take theirs from there
    monkeypatch.setattr(compiled, "row_kernels", _plain("row_kernels", monkeypatch))
    module = _plain("kernels", monkeypatch)
    monkeypatch.setattr(compiled, "kernels", module)
    return module


@pytest.fixture
def plain_rows(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Have the loops over codes so."""
    module = _plain("row_kernels", monkeypatch)
    monkeypatch.setattr(compiled, "row_kernels", module)
    return module


def _plain(name: str, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.setitem(sys.modules, "numba", None)
    spec = importlib.util.find_spec(f"matebot.solver.{name}")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def some(shape: tuple[int, ...], seed: int, share: float = 0.3) -> Words:
    """Return a set by chance, with boards that are empty."""
    chance = np.random.default_rng(seed)
    words = chance.integers(0, 2**64, shape, np.uint64, endpoint=False)
    return np.where(chance.random(shape) < share, words, np.uint64(0))


@pytest.mark.parametrize("ending", ["KQK", "KRK", "KBK", "KNK", "KPK"])
@pytest.mark.parametrize("white", [True, False])
@pytest.mark.parametrize("share", [0.01, 0.5])
def test_moves_come_from_the_same_placements(plain: ModuleType, ending: str, white: bool, share: float) -> None:
    placement = Placement(Material.parse(ending))
    reached = some(placement.shape, 1, share) & placement.apart
    expected = Moves(placement).before(reached, white, placement.empty())
    assert (CompiledMoves(placement).before(reached, white, placement.empty()) == expected).all()
    for wanted in (some(placement.shape, 2), some(placement.shape, 2, 0.02)):
        found = CompiledMoves(placement).before(reached, white, placement.empty(), among=wanted)
        assert (found & wanted == expected & wanted).all()
        assert not (found & ~expected).any()


def test_of_the_man_of_the_first_axis_no_more_than_its_own_boards_is_looked_at(
    plain: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    placement, asked = Placement(Material.parse("KRKN")), list[tuple[object, ...]]()
    monkeypatch.setattr(plain, "man_before", lambda *given: asked.append(given[4:7]))
    moves = CompiledMoves(placement)
    for axis in range(2):
        moves._man(placement.empty(), axis, placement.empty(), None)
    rook, knight, kings = placement.shape
    assert asked == [((0, 1), (0, knight * kings), knight * kings), ((0, rook), (0, kings), kings)]


@pytest.mark.parametrize("ending", ["KBK", "KPK", "KRKN", "KPKP"])
def test_axes_of_men_that_are_missing_come_first_and_have_one_place(ending: str) -> None:
    placement = Placement(Material.parse(ending))
    sizes = CompiledMoves(placement)._sizes
    men = len(placement.shape) - 1
    assert sizes[-men:] == placement.shape[:-1]
    assert set(sizes[:-men]) <= {1}
    assert len(sizes) == len(CompiledMoves(Placement(Material.parse("KBK")))._sizes)


def test_moves_within_a_rank_of_pawns_are_the_same(plain: ModuleType) -> None:
    """Parts of an ending in which pawns keep to a rank have boards of eight squares."""
    material = Material.parse("KPK")
    attractor = Attractor(Placement(material), Tables(None).codes)
    cut = next(_levels(attractor.placement))[0]
    slab = _Slab(attractor, Crew(), lambda plies: None, cut).placement
    reached = some(slab.shape, 3) & slab.apart
    for white in (True, False):
        expected = Moves(slab).before(reached, white, slab.empty(), pawns=False)
        assert (CompiledMoves(slab).before(reached, white, slab.empty(), pawns=False) == expected).all()


def test_captures_are_laid_back_alike(plain: ModuleType, tables: Tables) -> None:
    """Queen against rook: each king takes, and each man takes the other."""
    placement, found = Placement(Material.parse("KQKR")), list[list[Words]]()
    for spreading in (Spreading(), CompiledSpreading()):
        exits = conversions(placement, tables.codes, spreading)
        found.append([one.spread(some(one.codes.shape[:-1], 7, 0.01)) for one in exits])
    assert len(found[0]) == len(found[1]) == 4
    assert all((one == other).all() for one, other in zip(*found, strict=True))
    assert all(one.any() for one in found[0])


@pytest.mark.parametrize("work", [Sets.add, Sets.keep, Sets.drop])
def test_sets_are_changed_alike(plain: ModuleType, work: Callable[[Sets, Words, Words], None]) -> None:
    one, other, shape = some((5, 77), 4), some((5, 77), 5), (5, 77)
    other[2] = 0
    expected, found = one.copy(), one.copy()
    work(Sets(), expected, other)
    getattr(CompiledSets(), work.__name__)(found, other)
    assert (found == expected).all()
    assert found.shape == shape
    assert (CompiledSets().without(one, other) == one & ~other).all()
    assert (expected != one).any()


def test_room_that_is_used_again_is_empty(plain: ModuleType) -> None:
    sets, full = CompiledSets(), some((5, 77), 6, 1)
    sets.spare(full)
    assert sets.empty((4, 77)) is not full
    again = sets.empty((5, 77))
    assert again is full
    assert not again.any()
    sets.spare(again)
    assert (sets.without(some((5, 77), 7), some((5, 77), 8)) == some((5, 77), 7) & ~some((5, 77), 8)).all()


def test_whether_a_set_is_empty_is_told_alike(plain: ModuleType) -> None:
    one = np.zeros((5, 77), np.uint64)
    assert not CompiledSets().some(one)
    one[4, 76] = 1
    assert CompiledSets().some(one) is Sets().some(one) is True


@pytest.mark.parametrize(("low", "high"), [(0, 254), (3, 3), (128, 200), (255, 255)])
def test_positions_with_codes_between_two_are_found_alike(plain_rows: ModuleType, low: int, high: int) -> None:
    codes = np.random.default_rng(3).integers(0, 256, (7, 3, 64), np.uint8)
    expected = Sets().within(codes, low, high)
    assert (CompiledSets().within(codes, low, high) == expected).all()
    assert expected.shape == (7, 3)
    assert expected.any()


@pytest.mark.parametrize("shape", [(64, 10), (200, 3)])  # 200 boards are more than one block of them
def test_codes_are_written_alike(plain: ModuleType, shape: tuple[int, ...]) -> None:
    tables, there = [], some(shape, 0, 0.9)
    for sets in (Sets(), CompiledSets()):
        distances, left = Distances(shape, sets), there.copy()
        for number in range(1, 60, 3):
            fresh = some(shape, number) & left
            left &= ~fresh
            distances.add(fresh, bool(number % 2), number)
        tables.append(distances.reduced(there))
    assert (tables[0] == tables[1]).all()
    assert len(np.unique(tables[0])) > 20


def test_squares_of_a_table_are_read_alike(plain_rows: ModuleType) -> None:
    chance = np.random.default_rng(9)
    rows = chance.integers(0, 256, (64, 48, 64, 64), np.uint8)
    kings, *men = (chance.integers(0, size, 5) for size in rows.shape)
    found = np.zeros((5, 5, 5, 2, 5), np.uint8)
    plain_rows.expand(rows, kings, *men, found, 1)
    assert (found[..., 1, :] == np.moveaxis(rows[np.ix_(kings, *men)], 0, -1)).all()
    assert not found[..., 0, :].any()


def test_gaps_of_a_row_are_filled_alike(plain_rows: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    form = RowForm(five("KNNKP"), 1, 8)
    row = np.random.default_rng(6).integers(120, 256, 64 * 64 * 48, np.uint8)
    row[:3] = 255
    monkeypatch.setattr("matebot.solver.row_form.can_compile", lambda: False)
    expected = form.short(row)
    found = np.empty(2000, np.uint8)
    plain_rows.fill_gaps(row, form._kept[:2000], found)
    assert (found == expected[:2000]).all()


def test_codes_are_arranged_and_noted_alike(plain_rows: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    codes, mates = np.random.default_rng(8).integers(0, 256, (2, 700), np.uint8)
    monkeypatch.setattr("matebot.solver.parting.can_compile", lambda: False)
    found, back, there = np.empty_like(codes), np.empty_like(codes), np.zeros(256, np.bool_)
    plain_rows.by_mate(codes, mates, found)
    assert (found == by_mate(codes, mates)).all()
    plain_rows.by_place(found, mates, back)
    assert (back == codes).all()
    plain_rows.look_up(codes, there)
    assert np.flatnonzero(there).tolist() == sorted(set(codes.tolist()))


@pytest.mark.parametrize("ending", ["KRNKR", "KQBKP", "KPPKP", "KBBBK"])
def test_rows_are_made_whole_alike(ending: str, plain_rows: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    """With two squares of the first man, since plain loops are slow."""
    form = RowForm(five(ending), 0, 8)
    whole = form._shape
    short = np.random.default_rng(7).integers(0, 255, form.size, np.uint8)
    for side, white_king, black_king in ((True, 9, 36), (False, 18, 3)):
        form._shape = whole
        expected = form.whole(short, side, white_king, black_king)
        form._shape = (2, *whole[1:])
        found = np.zeros(np.prod(form._shape), np.uint8)
        monkeypatch.setattr("matebot.solver.row_form.can_compile", lambda: True)
        monkeypatch.setitem(sys.modules, "matebot.solver.row_kernels", plain_rows)
        form.written(short, side, white_king, black_king, found)
        assert (found == expected[: len(found)]).all()
        assert 0.1 < (found == 255).mean() < 0.9


def test_nothing_is_compiled_for_four_men_or_without_numba(monkeypatch: pytest.MonkeyPatch) -> None:
    small, large = Placement(Material.parse("KPKP")), Placement(Material.parse("KBNK"))
    large.shape = (64, 64, 64, 10)  # as many as five men have: nothing is made of it here
    for able in (True, False):
        monkeypatch.setattr(tools, "can_compile", lambda able=able: able)
        assert type(tools.tools(small, Crew())[1]) is Moves
    assert type(tools.tools(large, Crew())[1]) is Moves


@pytest.mark.exhaustive
@pytest.mark.timeout(600)
@pytest.mark.parametrize("ending", [material.name for material in COVERED if len(material.name) == 4])
def test_every_ending_of_four_men_is_solved_alike_by_compiled_loops(ending: str) -> None:
    pytest.importorskip("numba")
    tables, material = Tables(None), Material.parse(ending)
    for child in material.children():
        tables.prepare(child)
    expected, found = (Solver(material, tables.codes, compiled=choice).solve() for choice in (False, True))
    assert len(expected.metrics) == len(found.metrics)
    for these, those in zip(expected.metrics, found.metrics, strict=True):
        assert all((these[side] == those[side]).all() for side in (True, False))
