"""What the workers of a run work out once between them: solved endings and ladders, as plain arrays in files.

A worker solves what no other has solved yet, by the code under test. A run without workers shares nothing.
"""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

from matebot.method.ladder import Ladder, Rungs
from matebot.method.plans import PLANS
from matebot.solver.ending import Ending
from matebot.solver.geometry import Codes
from matebot.solver.lookup import ArrayTable
from matebot.solver.material import Material
from matebot.solver.retrograde import Solution
from matebot.solver.tables import Tables

_SIDES = (True, False)
#: How long another worker is waited for that works out the same; whoever has waited in vain does it as well.
_PATIENCE_SECONDS = 10.0
_BY_NAME = {plan.name: plan for plans in PLANS.values() for plan in plans}


class Shelf:
    """A folder of arrays, one name each; without a folder there is never anything on it."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder

    def take(self, name: str) -> Codes | None:
        """Return an array that some worker has put here."""
        if self._folder is None or not (path := self._folder / f"{name}.npy").exists():
            return None
        found: Codes = np.asarray(np.load(path, mmap_mode="c"))
        return found

    def put(self, name: str, arrays: list[Codes]) -> None:
        """Put arrays of one shape here."""
        if self._folder is not None:
            part = self._folder / f"{name}.{os.getpid()}.npy"
            np.save(part, np.stack(arrays))
            part.replace(self._folder / f"{name}.npy")

    @contextmanager
    def alone(self, name: str) -> Iterator[None]:
        """Work something out while no other worker does, and begin when it has."""
        if self._folder is None or sys.platform == "win32":
            yield
            return
        until = time.monotonic() + _PATIENCE_SECONDS
        held = os.open(self._folder / f"{name}.lock", os.O_WRONLY | os.O_CREAT)  # tests put others in place of open
        try:
            while not _locked(held) and time.monotonic() < until:
                time.sleep(0.01)
            yield
        finally:
            os.close(held)  # and it is free again


def _locked(descriptor: int) -> bool:
    import fcntl

    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


class SharedTables(Tables):
    """Tables in memory that solve an ending where no other worker has."""

    def __init__(self, shelf: Shelf) -> None:
        super().__init__(held_bytes=1 << 40)
        self._solved = shelf

    def _solve(self, ending: Ending) -> None:
        with self._solved.alone(ending.material.name):
            self._take_or_solve(ending)

    def _take_or_solve(self, ending: Ending) -> None:
        found = _taken(self._solved, ending.material)
        if found is not None:
            ending.solution = found
            return
        super()._solve(ending)
        assert ending.solution is not None
        metrics = ending.solution.metrics
        self._solved.put(ending.material.name, [np.stack([both[side] for side in _SIDES]) for both in metrics])


def _taken(shelf: Shelf, material: Material) -> Solution | None:
    codes = shelf.take(material.name)
    return None if codes is None else Solution(material, tuple({True: both[0], False: both[1]} for both in codes))


def keep_what_is_solved(patch: pytest.MonkeyPatch, shelf: Shelf, folder: Path) -> None:
    """Let commands called within a worker keep in the folder of all tests what is solved already."""
    solve = Tables._solve

    def taken_or_solved(tables: Tables, ending: Ending) -> None:
        if type(tables) is Tables and tables.folder == folder:
            ending.solution = _taken(shelf, ending.material)
        if ending.solution is None:
            solve(tables, ending)
        else:
            tables._keeper.add(ending)

    patch.setattr(Tables, "_solve", taken_or_solved)


class SharedLadders(dict[str, Rungs]):
    """Ladders by the names of their plans, in memory or on the shelf."""

    def __init__(self, shelf: Shelf) -> None:
        super().__init__()
        self._shelf = shelf

    def __contains__(self, name: object) -> bool:
        if not super().__contains__(name) and name in _BY_NAME and (codes := self._shelf.take(str(name))) is not None:
            ladder = Ladder.__new__(Ladder)
            ladder.plan = _BY_NAME[str(name)]
            ladder.material = Material.parse(ladder.plan.ending)
            ladder.moves, ladder.stages = ({True: both[0], False: both[1]} for both in codes)
            ladder.read(ArrayTable(ladder.moves), ArrayTable(ladder.stages))
            super().__setitem__(str(name), ladder)
        return super().__contains__(name)

    def __setitem__(self, name: str, ladder: Rungs) -> None:
        super().__setitem__(name, ladder)
        if isinstance(ladder, Ladder) and name in _BY_NAME:
            numbers = (ladder.moves, ladder.stages)
            self._shelf.put(name, [np.stack([both[side] for side in _SIDES]) for both in numbers])


def leave(folder: Path) -> None:
    """Note that a worker needs the folder no more; the last one removes it: it takes most of a gigabyte."""
    (folder / os.environ["PYTEST_XDIST_WORKER"]).touch()
    if len(list(folder.glob("gw*"))) == int(os.environ["PYTEST_XDIST_WORKER_COUNT"]):
        shutil.rmtree(folder, ignore_errors=True)
