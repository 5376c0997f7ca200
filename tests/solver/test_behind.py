"""Solving behind: whoever waits may give up, the work goes on, and what is wanted last comes first."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import chess
import pytest

import matebot.solver.behind as behind_module
import matebot.solver.endings as endings_module
import matebot.solver.tables as tables_module
from matebot.method.behind import LibraryBehind
from matebot.solver.behind import TablesBehind
from matebot.solver.material import Material, closure
from matebot.solver.retrograde import Solution, Solver
from matebot.solver.store import path_of
from matebot.solver.tables import Stopped, Tables

ROOK = chess.Board("7k/8/6K1/8/8/8/8/R7 w - - 0 1")
KRK, KQK, KPK, KNNK, KBNK = map(Material.parse, ("KRK", "KQK", "KPK", "KNNK", "KBNK"))


class Gate:
    """Makes solving wait for a word, between layers as well; `order` is what was solved, in order."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, closed: str) -> None:
        self.reached, self.open = threading.Event(), threading.Event()
        self.order: list[str] = []
        gate = self

        class Gated(Solver):
            def solve(self) -> Solution:
                if self.material.name == closed:
                    gate.reached.set()
                    while not gate.open.wait(0.001):
                        self.heartbeat(0)
                solution = super().solve()
                gate.order.append(self.material.name)
                return solution

        monkeypatch.setattr(endings_module, "Solver", Gated)


def in_background(work: Callable[[], object]) -> threading.Thread:
    thread = threading.Thread(target=work)
    thread.start()
    return thread


def test_an_answer_is_the_same_as_without_a_thread(tables: Tables) -> None:
    assert TablesBehind().value(ROOK) == tables.value(ROOK)


def test_whoever_gives_up_leaves_the_work_going_on(monkeypatch: pytest.MonkeyPatch) -> None:
    gate = Gate(monkeypatch, "KRK")
    behind = TablesBehind()
    behind.impatient = gate.reached.is_set
    with pytest.raises(Stopped):
        behind.value(ROOK)
    assert not behind.is_ready(KRK)
    assert behind.known(ROOK) is None
    gate.open.set()
    behind.impatient = lambda: False
    assert behind.value(ROOK).dtm_plies == 1
    assert behind.known(ROOK) == (1, 1)
    assert gate.order == ["KRK"]


def test_a_stop_of_the_answer_does_not_end_the_work_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    behind = TablesBehind()
    behind.stopped = lambda: True
    assert behind.value(ROOK).dtm_plies == 1


def test_what_is_wanted_last_comes_first_and_what_was_passed_over_is_taken_up_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    gate = Gate(monkeypatch, "KRK")
    behind = TablesBehind()
    first = in_background(lambda: behind.prepare(KRK))
    assert gate.reached.wait(60)
    behind.prepare(KNNK)
    assert "KRK" not in gate.order
    gate.open.set()
    first.join(60)
    assert behind.is_ready(KRK)
    assert gate.order == ["KNK", "KNNK", "KRK"]


def test_what_an_ending_leads_to_is_not_passed_over_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    gate = Gate(monkeypatch, "KQK")
    behind = TablesBehind()
    first = in_background(lambda: behind.prepare(KQK))
    assert gate.reached.wait(60)
    second = in_background(lambda: behind.prepare(KPK))
    gate.open.set()
    for thread in (first, second):
        thread.join(60)
    assert gate.order.count("KQK") == 1
    assert set(gate.order) == {material.name for material in closure(KPK)}


def test_a_fault_behind_reaches_whoever_waits_and_the_next_is_served(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(self: Solver) -> Solution:
        raise MemoryError("no room")

    behind = TablesBehind()
    with monkeypatch.context() as patch:
        patch.setattr(Solver, "solve", broken)
        with pytest.raises(MemoryError, match="no room"):
            behind.prepare(KRK)
    behind.prepare(KRK)
    assert behind.is_ready(KRK)


def test_what_is_asked_for_again_while_it_is_done_is_done_once(monkeypatch: pytest.MonkeyPatch) -> None:
    begun, done, behind = threading.Event(), threading.Event(), TablesBehind()
    times = list[int]()

    def work() -> None:
        times.append(1)
        begun.set()
        assert done.wait(60)

    def ask() -> None:
        behind.do_behind("work", KRK, work)

    first = in_background(ask)
    assert begun.wait(60)
    behind.impatient = lambda: threading.current_thread() is not first
    with pytest.raises(Stopped):
        ask()
    behind.impatient = lambda: False
    done.set()
    first.join(60)
    behind.do_behind("other", KRK, lambda: times.append(2))
    assert times == [1, 2]


def test_where_nothing_was_wanted_nothing_is_waited_for_at_the_end() -> None:
    """An hour would be waited for otherwise, and the test be ended."""
    TablesBehind().finish(3_600, 0)


def test_five_men_are_solved_by_who_is_told_to_and_by_no_other() -> None:
    assert TablesBehind().largest == Tables().largest == 4
    assert TablesBehind(largest=5).largest == 5


def test_closed_tables_solve_nothing_more(monkeypatch: pytest.MonkeyPatch) -> None:
    gate = Gate(monkeypatch, "KRK")
    behind = TablesBehind()
    faults: list[BaseException] = []

    def wait() -> None:
        try:
            behind.prepare(KRK)
        except Stopped as fault:
            faults.append(fault)

    thread = in_background(wait)
    assert gate.reached.wait(60)
    behind.close()
    thread.join(60)
    assert len(faults) == 1
    assert gate.order == []


def test_making_use_of_the_tables_can_be_cut_short() -> None:
    behind = TablesBehind()
    behind.cut = lambda: True
    with pytest.raises(Stopped):
        behind.value(ROOK)


def test_each_ending_is_kept_while_the_next_one_is_solved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gate = Gate(monkeypatch, "KPK")
    behind = TablesBehind(tmp_path)
    behind.impatient = gate.reached.is_set
    with pytest.raises(Stopped):
        behind.prepare(KPK)
    smaller = [path_of(tmp_path, material) for material in closure(KPK)[:-1]]
    while not all(path.exists() for path in smaller):
        pass
    assert not path_of(tmp_path, KPK).exists()  # it waits at the gate
    behind.close()


def test_at_the_end_what_was_wanted_last_is_solved_and_kept_if_there_is_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate = Gate(monkeypatch, "KRK")
    behind = TablesBehind(tmp_path)
    behind.impatient = gate.reached.is_set
    with pytest.raises(Stopped):
        behind.prepare(KRK)
    ending = in_background(lambda: behind.finish(60, 0))
    assert ending.is_alive()
    gate.open.set()
    ending.join(60)
    assert path_of(tmp_path, KRK).exists()


def test_at_the_end_what_takes_too_long_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gate = Gate(monkeypatch, "KRK")
    behind = TablesBehind(tmp_path)
    behind.impatient = gate.reached.is_set
    with pytest.raises(Stopped):
        behind.prepare(KRK)
    thread = behind._thread
    behind.finish(0.01, 0)
    gate.open.set()
    assert thread is not None
    thread.join(60)
    assert "KRK" not in gate.order
    behind.keep()
    assert list(tmp_path.iterdir()) == []


def test_a_ladder_is_waited_for_no_longer_than_suits_and_is_there_later(monkeypatch: pytest.MonkeyPatch) -> None:
    behind = TablesBehind()
    library = LibraryBehind(behind)
    library._ladders = {}  # not those that all tests share
    behind.prepare(KRK)
    monkeypatch.setattr(behind_module, "_POLL_SECONDS", 0.0)  # a ladder may be quicker than the first look
    behind.impatient = lambda: True
    with pytest.raises(Stopped):
        library.standings(ROOK)
    behind.impatient = lambda: False
    assert library.standings(ROOK)[0].moves == 1


def damaged_queen(folder: Path) -> TablesBehind:
    """Return tables over king and pawn in which every row of the file of king and queen is spoilt."""
    tables = Tables(folder)
    tables.prepare(KPK)
    tables.keep()
    path = path_of(folder, KQK)
    whole = path.read_bytes()
    first = int.from_bytes(whole[44:48], "little") * 4 + 48  # see the layout in `table_file`
    path.write_bytes(whole[:first] + bytes(byte ^ 255 for byte in whole[first:]))
    behind = TablesBehind(folder)
    behind.prepare(KPK)
    behind.prepare(KQK)
    return behind


def test_a_file_found_damaged_while_there_is_no_time_is_no_fault_and_is_solved_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    queen = chess.Board("8/1Q6/8/8/4k3/8/8/2K5 b - - 0 1")
    truth = Tables().value(queen)
    behind = damaged_queen(tmp_path)
    gate = Gate(monkeypatch, "KQK")
    behind.stopped = behind.impatient = lambda: True
    assert behind.known(queen) is None
    with pytest.raises(Stopped):
        behind.value(queen)
    behind.stopped = behind.impatient = lambda: False
    gate.open.set()
    assert behind.value(queen) == truth
    assert gate.order == ["KQK"]


@pytest.fixture
def kbnk_is_large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let two men beside the king be what three are: an ending that is solved only when it is asked for."""
    for module in (behind_module, tables_module, endings_module):
        monkeypatch.setattr(module, "is_large", lambda material: len(material.men) > 1)
    for module in (tables_module, endings_module):
        monkeypatch.setattr(module, "MEN_HELD", 1)
    monkeypatch.setattr("matebot.solver.compile_ahead.begin", lambda: None)  # it is as small as ever


def test_the_solving_of_five_men_is_told_at_most_every_two_seconds(
    kbnk_is_large: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    seconds, told = iter(x / 2 for x in range(10_000)), list[tuple[float, str]]()
    monkeypatch.setattr(time, "monotonic", lambda: next(seconds))
    behind = TablesBehind(tmp_path, largest=5)
    behind.progress = lambda text: told.append((next(seconds), text))
    behind.prepare(KBNK)
    times = [second for second, _ in told]
    assert len(told) > 3
    assert all(later - sooner >= 2 for sooner, later in pairwise(times))
    assert [text for _, text in told if not re.match(r"solving( K\w+K)?( for KBNK)?: \d+%", text)] == []


def test_the_solving_is_told_between_layers_too_where_nothing_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (behind_module, tables_module, endings_module):
        monkeypatch.setattr(module, "is_large", lambda material: True)
    for module in (tables_module, endings_module):
        monkeypatch.setattr(module, "MEN_HELD", 0)
    monkeypatch.setattr("matebot.solver.compile_ahead.begin", lambda: None)
    monkeypatch.setattr(behind_module, "_TELL_SECONDS", 0.0)
    behind, told = TablesBehind(largest=5), list[str]()
    behind.progress = told.append
    behind.prepare(KRK)
    assert len(told) > 10


def test_five_men_that_may_not_be_solved_any_more_are_given_up(
    kbnk_is_large: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    gate = Gate(monkeypatch, "KBK")
    behind = TablesBehind(tmp_path, largest=5)
    faults: list[BaseException] = []

    def ask() -> None:
        try:
            behind.prepare(KBNK)
        except Stopped as fault:
            faults.append(fault)

    asking = in_background(ask)
    assert gate.reached.wait(60)
    behind.largest = 4
    asking.join(60)
    assert len(faults) == 1
    assert gate.order == ["KNK"]


def begun_and_stopped(monkeypatch: pytest.MonkeyPatch, folder: Path) -> tuple[Gate, TablesBehind]:
    """Return tables that were asked for a large ending and given up while a smaller one was being solved."""
    gate = Gate(monkeypatch, "KBK")
    behind = TablesBehind(folder, largest=5)
    behind.impatient = gate.reached.is_set
    with pytest.raises(Stopped):
        behind.prepare(KBNK)
    behind.keep()
    return gate, behind


def test_an_interrupted_solve_goes_on_with_the_ending_at_which_it_stopped(
    kbnk_is_large: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    gate, first = begun_and_stopped(monkeypatch, tmp_path)
    first.finish(0.0, 0.0)
    gate.open.set()
    assert path_of(tmp_path, Material.parse("KNK")).exists()
    again = TablesBehind(tmp_path, largest=5)
    again.prepare(KBNK)
    assert gate.order.count("KNK") == 1
    assert path_of(tmp_path, KBNK).exists()


def test_five_men_are_not_waited_for_at_the_end(
    kbnk_is_large: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """An hour would be waited for otherwise, and the test be ended."""
    gate, behind = begun_and_stopped(monkeypatch, tmp_path)
    behind.finish(3_600.0, 0.0)
    gate.open.set()
    assert {path.name for path in tmp_path.iterdir()} == {"KNK.ending"}
