"""Keeping behind the answers: in which order, how long it is waited for; and the bounds of memory."""

from __future__ import annotations

import gc
import threading
import weakref
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from matebot.solver.keeping import Keeper
from matebot.solver.lookup import Reader, Recent
from matebot.solver.material import Material, closure
from matebot.solver.store import path_of
from matebot.solver.table_file import Interrupted
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

KQK, KRK, KQRK, KBNK = map(Material.parse, ("KQK", "KRK", "KQRK", "KBNK"))


class Slow:
    """An ending that is kept when it is told to be, and asks for interruption until then."""

    def __init__(self, material: Material, kept: list[Material], held_bytes: int = 10) -> None:
        self.material, self._kept, self.held_bytes = material, kept, held_bytes
        self.begun, self.may_end = threading.Event(), threading.Event()

    def keep(self, interrupted: Callable[[], bool]) -> None:
        self.begun.set()
        while not self.may_end.wait(0.001):
            if interrupted():
                raise Interrupted
        self._kept.append(self.material)
        self.held_bytes = 0


def quick(material: Material, kept: list[Material]) -> Slow:
    ending = Slow(material, kept)
    ending.may_end.set()
    return ending


def test_what_was_asked_for_is_kept_first_and_then_the_rest_from_the_last_backwards() -> None:
    keeper, kept = Keeper(), list[Material]()
    keeper.prefer(KQRK)
    keeper.prefer(KQK)
    for material in (KQK, KRK, KBNK, KQRK):
        keeper.add(quick(material, kept))
    keeper.now(lambda: False)
    assert kept == [KQRK, KQK, KBNK, KRK]


def test_what_is_added_while_the_thread_works_is_kept_too() -> None:
    keeper, kept = Keeper(), list[Material]()
    first = Slow(KRK, kept)
    keeper.add(first)
    keeper.behind()
    assert first.begun.wait(30)
    keeper.add(quick(KQK, kept))
    keeper.behind()
    first.may_end.set()
    keeper.now(lambda: False)
    assert sorted(material.name for material in kept) == ["KQK", "KRK"]


def test_the_end_waits_for_what_was_asked_for_and_not_for_the_rest() -> None:
    keeper, kept = Keeper(), list[Material]()
    wanted, rest = Slow(KQRK, kept), Slow(KRK, kept)
    keeper.prefer(KQRK)
    keeper.add(rest)
    keeper.add(wanted)
    ending = threading.Thread(target=keeper.finish, args=(60.0, 0.0))
    ending.start()
    assert wanted.begun.wait(30)
    assert ending.is_alive()
    wanted.may_end.set()
    ending.join(30)
    assert not ending.is_alive()
    assert kept == [KQRK]


def test_what_leads_to_an_ending_not_solved_yet_is_waited_for_like_that_ending() -> None:
    """So a session that is broken off spares the next one what it has solved."""
    keeper, kept = Keeper(), list[Material]()
    part = Slow(KRK, kept)
    keeper.prefer(KQRK)
    keeper.add(part)
    ending = threading.Thread(target=keeper.finish, args=(60.0, 0.0))
    ending.start()
    assert part.begun.wait(30)
    part.may_end.set()
    ending.join(30)
    assert kept == [KRK]


def test_who_is_interrupted_does_not_wait_for_the_thread_that_keeps() -> None:
    keeper, kept = Keeper(), list[Material]()
    slow = Slow(KQRK, kept)
    keeper.add(slow)
    keeper.behind()
    assert slow.begun.wait(30)
    interrupted = threading.Thread(target=keeper.now, args=(lambda: True,), daemon=True)
    interrupted.start()
    interrupted.join(5)
    still = interrupted.is_alive()
    slow.may_end.set()
    keeper.now(lambda: False)
    assert (still, kept) == (False, [KQRK])


def test_the_end_waits_for_nothing_longer_than_it_may_and_writes_nothing_after() -> None:
    keeper, kept = Keeper(), list[Material]()
    stuck = Slow(KQRK, kept)
    keeper.prefer(KQRK)
    keeper.add(stuck)
    keeper.finish(0.05, 0.0)
    keeper.now(lambda: False)  # waits for the thread, which has given up
    assert kept == []


def test_solutions_are_packed_before_they_take_too_much_the_oldest_first() -> None:
    keeper, kept = Keeper(), list[Material]()
    keeper.prefer(KRK)
    for material in (KQK, KRK, KBNK, KQRK):
        keeper.add(quick(material, kept))
    keeper.make_room(25)
    assert kept == [KQK, KRK]
    keeper.make_room(20)  # so much the two take that are left
    assert kept == [KQK, KRK]


def test_an_ending_too_many_is_packed_in_memory_without_a_folder_and_says_the_same(tables: Tables) -> None:
    narrow = Tables(held_bytes=0)
    narrow.prepare(KQRK)
    array = weakref.ref(narrow.codes(KRK, True))
    gc.collect()
    assert array() is None
    assert narrow.bytes_on_disk(KRK) == 0
    for material in closure(KQRK):
        for metric in ("dtm", "dtz"):
            assert np.array_equal(narrow.codes(material, True, metric), tables.codes(material, True, metric))


def test_without_a_folder_that_can_be_used_endings_are_packed_in_memory(tmp_path: Path, tables: Tables) -> None:
    blocked = Tables(tmp_path / "no" / "such")
    array = weakref.ref(blocked.codes(KBNK, True))
    blocked.keep()
    gc.collect()
    assert array() is None
    assert blocked.bytes_on_disk(KBNK) == 0
    for board in random_positions("KBNK", 100, seed=1):
        assert blocked.value(board) == tables.value(board)


def test_closed_tables_let_go_of_everything_at_once(tmp_path: Path, tables: Tables) -> None:
    closing = Tables(tmp_path)
    arrays = [weakref.ref(closing.codes(KQRK, side)) for side in (True, False)]
    boards = list(random_positions("KQRK", 20, seed=2))
    stand, _ = closing.stand_of(boards[0])
    steps = closing.remembered_steps(stand)
    assert closing.remembered_steps(stand) is steps
    gc.disable()
    try:
        closing.close()
        assert all(array() is None for array in arrays)
    finally:
        gc.enable()
    closing.keep()
    assert list(tmp_path.iterdir()) == []
    for board in boards:
        assert closing.value(board) == tables.value(board)
    again = closing.remembered_steps(stand)
    assert again is not steps
    assert again == steps


def test_an_ending_stands_on_disk_after_keeping_behind(tmp_path: Path, tables: Tables) -> None:
    keeping = Tables(tmp_path)
    keeping.prepare(KQRK)
    keeping.keep_behind()
    keeping.finish_keeping(60.0, 60.0)
    for material in closure(KQRK):
        assert path_of(tmp_path, material).exists()
    assert np.array_equal(Tables(tmp_path).codes(KQRK, True), tables.codes(KQRK, True))


class Counted:
    """A table of rows of a thousand bytes that counts how often each is read."""

    def __init__(self) -> None:
        self.read: list[int] = []

    def row(self, white_to_move: bool, king_class: int, black_king: int) -> bytes:
        self.read.append(black_king)
        return bytes([black_king]) * 64


def test_rows_at_hand_are_held_to_their_bytes_and_the_least_recently_used_go_first() -> None:
    """A row costs 64 + 200 bytes, so twenty of them are half of what two readers may have together."""
    recent, counted = Recent(40 * 264), Counted()
    readers = [Reader(KRK, counted, recent=recent) for _ in range(2)]

    def ask(black_king: int, reader: int = 0) -> None:
        assert readers[reader].code(True, 0, black_king, (9,)) == black_king

    for black_king in range(64):
        for _ in range(3):
            ask(black_king)
            ask(0)  # always in use
            ask(1, reader=1)
    held = sum(len(rows) for reader in readers for rows in (reader._rows, reader._older))
    assert 20 <= held <= 42
    assert sorted(counted.read) == [0, 1, *range(1, 64)]
    before = len(counted.read)
    ask(63)
    ask(0)
    assert len(counted.read) == before
    ask(2)
    assert len(counted.read) == before + 1


@pytest.mark.parametrize("most_bytes", [1, 10_000])
def test_values_do_not_depend_on_how_many_rows_are_at_hand(
    tables: Tables, most_bytes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("matebot.solver.endings._ROWS_BYTES", most_bytes)
    few = Tables()
    for board in random_positions("KQRK", 200, seed=3):
        assert few.value(board) == tables.value(board)
