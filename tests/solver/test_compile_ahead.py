"""Loops are compiled by a process of its own, for which one waits only as long as the work is wanted."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from subprocess import DEVNULL, Popen
from types import SimpleNamespace

import pytest

from matebot.solver import compile_ahead, kernels, retrograde, row_kernels, set_kernels
from matebot.solver.endings import Stopped
from matebot.solver.material import Material
from matebot.solver.tables import Tables


def child(code: str) -> Popen[bytes]:
    return Popen([sys.executable, "-S", "-c", code], stdin=DEVNULL)


def test_waiting_goes_on_until_the_process_has_ended() -> None:
    process = child("import time; time.sleep(0.2); raise SystemExit(7)")
    compile_ahead.finish(process, lambda: None)
    assert process.returncode == 7


def test_who_does_not_want_to_wait_any_more_leaves_no_process_behind() -> None:
    process = child("import time; time.sleep(600)")

    def stop() -> None:
        raise Stopped

    with pytest.raises(Stopped):
        compile_ahead.finish(process, stop)
    assert process.returncode not in (None, 0)


@pytest.mark.parametrize(("compiles", "done"), [(False, False), (True, True)])
def test_nothing_is_begun_where_nothing_can_be_compiled_or_is_left_to(
    compiles: bool, done: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compile_ahead, "can_compile", lambda: compiles)
    monkeypatch.setattr(compile_ahead, "_is_done", lambda: done)
    assert compile_ahead.begin() is None


def test_a_process_is_begun_that_runs_the_loops(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(compile_ahead, "can_compile", lambda: True)
    monkeypatch.setattr(compile_ahead, "_is_done", lambda: False)
    begun: list[list[str]] = []
    monkeypatch.setattr(compile_ahead, "Popen", lambda command, **streams: begun.append(command))
    compile_ahead.begin()
    assert begun == [[sys.executable, "-m", compile_ahead.__name__]]


@pytest.mark.parametrize(
    ("kept", "done"),
    [((), False), (("set_kernels.some-12.py311.1.nbi",), True), (("set_kernels.some-12.py311.nbc", "x.nbi"), False)],
)
def test_nothing_is_left_to_do_where_a_loop_is_kept_compiled(
    kept: tuple[str, ...], done: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in kept:
        (tmp_path / name).touch()
    monkeypatch.setattr(set_kernels, "some", SimpleNamespace(stats=SimpleNamespace(cache_path=str(tmp_path))))
    assert compile_ahead._is_done() == done


def test_all_that_an_ending_with_a_pawn_leads_to_is_solved_by_loops_and_those_of_five_men_are_compiled(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    solved, compiled = list[tuple[str, bool]](), list[str]()

    def solver(material: Material, codes: object, compiled: bool = False) -> SimpleNamespace:
        return SimpleNamespace(solve=lambda: solved.append((material.name, compiled)))

    monkeypatch.setattr(retrograde, "Solver", solver)
    monkeypatch.setattr(compile_ahead, "_of_five_men", lambda: [(SimpleNamespace(compile=compiled.append), "types")])
    compile_ahead.main()
    assert sorted(solved) == [(name, True) for name in ("KBK", "KNK", "KPK", "KQK", "KRK")]
    assert compiled == ["types"]


@pytest.mark.parametrize(("name", "compiles"), [("KRNKR", True), ("KRKN", False)])
def test_loops_are_compiled_beside_the_solving_of_five_men_and_no_longer(
    name: str, compiles: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    tables, found = Tables(), list[str]()

    def solve(needed: list[Material]) -> None:
        found.append(needed[-1].name)
        raise Stopped

    monkeypatch.setattr(tables, "_read", lambda material: False)
    monkeypatch.setattr(tables, "_solve_all", solve)
    monkeypatch.setattr(compile_ahead, "begin", lambda: "process")
    monkeypatch.setattr(compile_ahead, "end", found.append)
    with pytest.raises(Stopped):
        tables.prepare(Material.parse(name, largest=5))
    assert found == [name, *(["process"] if compiles else [])]


@pytest.mark.exhaustive
def test_every_loop_is_compiled_ahead(tmp_path: Path) -> None:
    numba = pytest.importorskip("numba")
    environment = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)}
    subprocess.run([sys.executable, "-m", compile_ahead.__name__], env=environment, check=True)
    kept = {file.name.partition("-")[0] for file in tmp_path.rglob("*.nbi")}
    loops = {
        f"{module.__name__.rpartition('.')[2]}.{name}"
        for module in (kernels, row_kernels, set_kernels)
        for name, value in vars(module).items()
        if isinstance(value, numba.core.dispatcher.Dispatcher) and value.__module__ == module.__name__
    }
    assert kept == loops
