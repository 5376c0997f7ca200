"""Handing memory back: less is held afterwards where the C library can do it, and nothing fails where it cannot."""

from __future__ import annotations

import ctypes
import platform
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from matebot.solver import compile_ahead, endings, retrograde
from matebot.solver.ending import Ending
from matebot.solver.material import Material
from matebot.solver.memory import give_back, map_large_arrays
from matebot.solver.tables import Tables

#: In a process of its own: one in which much has run may have had room for all of it.
_FREES_PIECES = """
import threading
import psutil
from matebot.solver.memory import give_back

def pieces():
    kept.extend([b"-" * 30_000, b"-" * 600] for _ in range(2_000))
    for pair in kept:
        pair[0] = b""

kept = []
thread = threading.Thread(target=pieces)
thread.start()
thread.join()
before = psutil.Process().memory_info().rss
give_back()
print(before - psutil.Process().memory_info().rss)
"""


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="asks glibc")
def test_what_a_thread_has_freed_in_pieces_goes_back_to_the_system() -> None:
    done = subprocess.run([sys.executable, "-c", _FREES_PIECES], capture_output=True, text=True, check=True)
    assert int(done.stdout) > 20_000_000


def test_nothing_is_done_where_the_library_cannot_or_has_no_such_name(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_library(name: str | None) -> object:
        raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", no_library)
    give_back()
    monkeypatch.setattr(ctypes, "CDLL", lambda name: object())
    give_back()


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="asks glibc")
def test_large_arrays_go_back_as_soon_as_they_are_let_go_once_they_are_mapped() -> None:
    """In a process of its own, whose library remains changed; the first large array teaches it to keep such ones."""
    child = """if 1:
        import sys, psutil
        from matebot.solver import memory
        if sys.argv[1] == "mapped":
            memory.map_large_arrays()
        resident = lambda: psutil.Process().memory_info().rss
        large = b"-" * 24_000_000
        del large
        arrays = [b"-" * 16_000_000 for _ in range(8)]
        before = resident()
        del arrays[:-1]
        print(before - resident())
    """
    given_back = {
        how: int(subprocess.run([sys.executable, "-c", child, how], capture_output=True, check=True).stdout)
        for how in ("mapped", "kept")
    }
    assert given_back["mapped"] > 100_000_000 > given_back["kept"]


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="asks glibc")
def test_room_of_smaller_arrays_is_kept_for_the_next() -> None:
    """Pages of 4 KiB that are had anew: 732 for each array where its room has gone back."""
    child = """if 1:
        import resource
        from matebot.solver import memory
        memory.map_large_arrays()
        for turn in range(21):
            if turn == 1:
                before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
            array = b"-" * 3_000_000
            del array
        print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
    """
    assert int(subprocess.run([sys.executable, "-c", child], capture_output=True, check=True).stdout) < 732


def test_no_array_is_mapped_where_the_library_cannot(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ctypes, "CDLL", lambda name: object())
    map_large_arrays()


@pytest.mark.parametrize(("name", "done"), [("KRNKR", ["compile", "give back", "keep", "give back"]), ("KRKN", [])])
def test_memory_goes_back_before_five_men_that_wait_for_their_loops_and_after_them(
    name: str, done: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = list[str]()
    tables, solver = Tables(tmp_path), SimpleNamespace(solve=lambda: None)

    def keep(by: object, interrupted: Callable[[], bool]) -> None:
        found.append("keep" if by is solver and not interrupted() else "")

    for part, stand_in in (("Solver", lambda *_, **__: solver), ("timed", lambda *_: None), ("map_large_arrays", list)):
        monkeypatch.setattr(endings, part, stand_in)
    monkeypatch.setattr(endings, "give_back", lambda: found.append("give back"))
    monkeypatch.setattr(compile_ahead, "finish", lambda process, pulse: found.append(process))
    monkeypatch.setattr(tables, "_keeper", SimpleNamespace(make_room=abs, add=lambda ending: None))
    monkeypatch.setattr(tables, "_compiling", "compile")
    ending = SimpleNamespace(material=Material.parse(name, largest=5), solution=None, solve_and_keep=keep)
    tables._solve(cast("Ending", ending))
    assert found == done


@pytest.mark.parametrize(("name", "times"), [("KRNKR", 1), ("KRKN", 0), ("KRNK", 0), ("KRK", 0)])
def test_room_for_codes_is_had_where_there_are_three_men_beside_the_kings(
    name: str, times: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = list[str]()
    monkeypatch.setattr(retrograde, "give_back", lambda: found.append("give back"))
    solver = SimpleNamespace(material=Material.parse(name, largest=5))
    retrograde.Solver._give_back(cast("retrograde.Solver", solver))
    assert len(found) == times
