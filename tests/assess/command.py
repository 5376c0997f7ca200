"""How the tests run an assessment: the command itself, with the small engines of this folder."""

from __future__ import annotations

import json
import shlex
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

from matebot.cli import main
from tests.warm_processes import warm_python

SMALL = Path(__file__).parent / "engines" / "small.py"
ROOT = Path(__file__).parents[2]
#: Nothing takes so long but what hangs.
PATIENCE_SECONDS = 60
#: Limits that no machine is too busy for.
UNHURRIED = ("--patience", str(PATIENCE_SECONDS), "--lateness", "60000")
#: A suite in which every attack can go wrong by stalemate at the first move.
SUITE = """\
# queen against king: the stalemate named is in reach at once
7k/8/5K2/8/8/8/6Q1/8 w - - id "g6";
k7/8/2K5/8/8/8/5Q2/8 w - - id "b6";
"""


def small(fault: str) -> str:
    """Return the command line of a small engine."""
    return shlex.join([warm_python(), str(SMALL), fault])


@dataclass(frozen=True)
class Run:
    """What a run of the command left behind."""

    status: int
    out: str
    err: str
    report: dict[str, Any]

    @property
    def measures(self) -> dict[str, float | None]:
        found: dict[str, float | None] = self.report["measures"]
        return found

    @property
    def fault_kinds(self) -> set[str]:
        results = [*self.report["games"], *self.report["questions"], *self.report["probes"]]
        return {fault["kind"] for result in results for fault in result["faults"]}


@dataclass(frozen=True)
class Assess:
    """Runs the command in a folder of its own."""

    folder: Path

    def __call__(self, *arguments: str, report: str = "run.json") -> Run:
        path = self.folder / report
        path.unlink(missing_ok=True)
        status, out, err = self._called(*arguments, "--report", str(path))
        data = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
        return Run(status, out, err, data)

    def error(self, *arguments: str) -> str:
        """Return the one line a refused run prints."""
        status, out, err = self._called(*arguments)
        assert (status, out) == (2, "")
        assert err.startswith("matebot: expected ")
        assert len(err.splitlines()) == 1
        return err

    def suite(self, text: str = SUITE) -> str:
        """Write a suite and return its name."""
        path = self.folder / "suite.epd"
        path.write_text(text, encoding="utf-8")
        return str(path)

    def engine(self, fault: str, *more: str) -> Sequence[str]:
        """Return the options for a small engine."""
        return ("--engine", small(fault), "--movetime", "50", *UNHURRIED, *more)

    def _called(self, *arguments: str) -> tuple[int, str, str]:
        """Return the status of the command, and what it prints and tells."""
        out, err = StringIO(), StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            status = main(["assess", *arguments])
        return status, out.getvalue(), err.getvalue()
