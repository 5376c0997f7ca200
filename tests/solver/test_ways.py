"""What is worked out around the clock: how far a win goes at most, what is begun beforehand, and how much is kept."""

from __future__ import annotations

import chess
import pytest

from matebot.solver import clocked
from matebot.solver.clocked import LONGEST_DTM_PLIES, Ways, most_plies_after_zeroing
from matebot.solver.late_changes import LateChanges
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import Material
from matebot.solver.tables import Tables


def stand(tables: Tables, fen: str) -> CanonicalPosition:
    return tables.stand(chess.Board(fen))[0]


@pytest.mark.parametrize(
    ("fen", "pawn_moves"),
    [
        ("8/4P3/2k5/8/8/4p3/6p1/K7 w - - 0 1", 1 + 2 + 1),
        ("8/2P5/P1k5/8/8/4p3/8/K7 b - - 0 1", 1 + 2 + 2),
        ("8/8/2k5/4p3/8/2P5/5r2/K7 w - - 0 1", 5 + 4),
        ("8/8/2k5/8/8/5N2/8/K4R1r w - - 0 1", 0),
        ("8/P7/2k5/4p3/8/8/8/K7 w - - 0 1", 0),
    ],
)
@pytest.mark.parametrize("moves", [True, False])
def test_a_win_of_five_men_goes_through_a_leg_for_each_step_of_a_pawn(fen: str, pawn_moves: int, moves: bool) -> None:
    """A leg is a hundred plies (FIDE Laws of Chess, 9.3); with four men one table tells how long a win is at most."""
    position, _ = Tables().stand_of(chess.Board(fen))
    assert most_plies_after_zeroing(position, moves) == LONGEST_DTM_PLIES[moves] + 100 * pawn_moves


@pytest.fixture
def begun(monkeypatch: pytest.MonkeyPatch) -> list[tuple[bool, int]]:
    """Note which layers are asked for, by who wins and the plies left, instead of making them."""
    found: list[tuple[bool, int]] = []
    monkeypatch.setattr(Ways, "chain", lambda ways, position, winner, left, heartbeat: found.append((winner, left)))
    return found


def quiet(plies_done: int) -> None:
    pass


def test_layers_are_begun_where_the_longest_win_may_come_too_late_within_eight_plies(
    tables: Tables, begun: list[tuple[bool, int]]
) -> None:
    """King and pawn take 28 moves at most: handbooks, from memory."""
    position = stand(tables, "k7/8/8/4K3/4P3/8/8/8 w - - 0 1")
    for left in (100, 63, 62, 10):
        Ways(tables).look_ahead(position, left, quiet)
    assert begun == [(True, 62), (True, 10)]


def test_where_the_side_with_the_weaker_men_wins_it_is_the_longest_win_of_any_ending(
    tables: Tables, begun: list[tuple[bool, int]]
) -> None:
    position = stand(tables, "8/1P6/8/7r/1k2K3/8/8/8 w - - 0 1")
    assert not position.white_to_move  # the rook is White's in the canonical form
    for left in (LONGEST_DTM_PLIES[True] + 8, LONGEST_DTM_PLIES[True] + 7):
        Ways(tables).look_ahead(position, left, quiet)
    assert begun == [(False, LONGEST_DTM_PLIES[True] + 7)]


@pytest.mark.parametrize(
    "fen", ["6k1/8/8/8/8/8/8/K6R w - - 0 1", "8/8/8/4k3/4P3/4K3/8/8 w - - 0 1", "8/8/8/4k3/8/4K3/8/8 w - - 0 1"]
)
def test_where_the_clock_decides_nothing_no_layers_are_begun(
    tables: Tables, begun: list[tuple[bool, int]], fen: str
) -> None:
    """A mate without capture or pawn move on the way, a draw, and bare kings."""
    Ways(tables).look_ahead(stand(tables, fen), 10, quiet)
    assert begun == []


def test_whoever_has_layers_made_beforehand_is_asked_between_them(tables: Tables) -> None:
    position, beats = stand(tables, "k7/8/8/4K3/4P3/8/8/8 w - - 0 1"), list[int]()
    Ways(tables).look_ahead(position, 12, beats.append)
    assert len(beats) > 5


def test_no_more_detours_and_endings_are_kept_than_have_room(tables: Tables) -> None:
    ways = Ways(tables)
    rook = Material.parse("KRK")
    for number in range(20):
        ways.detour(rook, frozenset((CanonicalPosition(rook, True, number, 63, (40,)),)), True)
        assert len(ways._detours) <= 16
    kept = ways.detour(rook, frozenset((CanonicalPosition(rook, True, 19, 63, (40,)),)), True)
    assert len(ways._detours) == 16
    assert kept in ways._detours.values()
    endings = [Material.parse(name) for name in ("KRK", "KQK", "KPK", "KNK")]
    first = [ways.batches(ending) for ending in endings]
    assert ways.batches(endings[-1]) is first[-1]
    assert ways.batches(endings[0]) is not first[0]


@pytest.mark.parametrize(
    ("fen", "changes"),
    [
        ("k7/8/8/4K3/4P3/8/8/8 w - - 0 1", {False}),
        ("8/8/4k3/8/3KP3/8/8/8 b - - 0 1", {False}),
        ("8/8/2k5/8/8/8/Q1K5/4r3 w - - 0 1", {True, False}),
    ],
)
def test_a_way_around_positions_is_the_same_within_any_horizon(tables: Tables, fen: str, changes: set[bool]) -> None:
    """The whole of a chain is looked through beside what is looked for a band of plies beyond the count."""
    ways, position, changed = Ways(tables), stand(tables, fen), set[bool]()
    assert position.material is not None
    value = tables.value_of(position)
    for child in [step.child for step in tables.steps(position) if not step.zeroing][:6]:
        detour = ways.detour(position.material, frozenset({child}), True)
        for left in (3, 4, 9, 14):
            chain = ways.chain(position, True, left)
            whole = LateChanges(chain, {child}).mate_plies(position, left, quiet)
            assert detour.mate_plies(position, value, left) == whole, (child, left)
            changed.add(whole != ways.in_time(position, True, left))
    assert changed == changes


def test_what_has_been_worked_out_serves_the_other_plies_left_and_nearer_horizons(tables: Tables) -> None:
    ways, position = Ways(tables), stand(tables, "k7/8/8/4K3/4P3/8/8/8 w - - 0 1")
    assert position.material is not None
    odd, even = (ways.chain(position, True, left) for left in (3, 4))
    assert odd is not even
    assert odd.ground is even.ground
    detour = ways.detour(position.material, frozenset(), True)
    far = detour._up_to(12)
    assert far is detour._up_to(12)
    assert far is detour._up_to(11)
    further = detour._up_to(13)
    assert further is not None
    assert further.horizon == 13


@pytest.mark.parametrize(
    ("fen", "banned", "nearer"),
    [("k7/8/8/4K3/4P3/8/8/8 w - - 0 1", 6, 27), ("8/8/8/8/4p3/2k5/8/5K2 b - - 0 1", 1, 27)],
)
def test_a_way_longer_than_a_nearer_horizon_tells_is_looked_for_in_the_whole(
    tables: Tables, fen: str, banned: int, nearer: int
) -> None:
    """Without the shortest ways the mate in time comes later than a band of plies after the tenth, or not at all."""
    ways, position, left = Ways(tables), stand(tables, fen), 10
    assert position.material is not None
    quiet_steps = [step for step in tables.steps(position) if not step.zeroing]
    children = frozenset(step.child for step in sorted(quiet_steps, key=lambda step: step.mate_plies or 999)[:banned])
    chain = ways.chain(position, position.white_to_move, left)
    near, whole = (LateChanges(chain, children, *far).mate_plies(position, left, quiet) for far in ((16,), ()))
    assert near == nearer
    assert whole is not None
    assert whole > near > left + 16
    detour = ways.detour(position.material, children, position.white_to_move)
    assert detour.mate_plies(position, tables.value_of(position), left) == whole


def test_layers_asked_for_last_are_kept_whatever_room_they_take(
    tables: Tables, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clocked, "_CHAINS_BYTES", 0)
    ways, position = Ways(tables), stand(tables, "k7/8/8/4K3/4P3/8/8/8 w - - 0 1")
    odd = ways.chain(position, True, 3)
    assert ways.chain(position, True, 3) is odd
    even = ways.chain(position, True, 4)
    assert ways.chain(position, True, 4) is even
    assert ways.chain(position, True, 3) is not odd
