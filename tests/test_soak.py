"""A long session over all endings: what it takes in memory stays within the budget that the README states."""

from __future__ import annotations

import re
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from random import Random

import pytest

from matebot.partner import MatePartner
from matebot.solver.material import COVERED
from matebot.uci.partnership import Question, Watch
from matebot.verification.positions import sample

ANSWERS = 30_000
README = Path(__file__).parent.parent / "README.md"


def budgets_mib() -> tuple[int, int]:
    """Return what the README allows with a table folder and without one."""
    found = re.search(
        r"at most (\d+) MiB more than at its start, or (\d+) MiB where no table folder",
        README.read_text(encoding="utf-8"),
    )
    assert found is not None
    return int(found[1]), int(found[2])


def resident_mib() -> float:
    status = Path("/proc/self/status").read_text(encoding="ascii")
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found is not None
    return int(found[1]) / 1024


def soak(folder: Path) -> float:
    """Return the most that a session takes over its start, in MiB."""
    partner, random = MatePartner({"Table Folder": str(folder)}), Random(1)
    start, most = resident_mib(), 0.0
    for number in range(ANSWERS):
        (board,) = sample(random.choice(COVERED), 1, str(number))
        partner.set_position(board.fen(), ())
        answer = partner.go(Question(), lambda report: None, Watch())
        partner.rest(lambda: False)
        assert (answer.best is None) == (not any(board.legal_moves))
        most = max(most, resident_mib() - start)
    return most


@pytest.mark.exhaustive
@pytest.mark.skipif(sys.platform != "linux", reason="reads the system's own account of memory")
@pytest.mark.parametrize(("folder", "number"), [(".", 0), ("no/such", 1)])
def test_a_long_session_stays_within_its_memory(tmp_path: Path, folder: str, number: int) -> None:
    """In a process of its own: what others have left free there would be taken up unseen."""
    with ProcessPoolExecutor(1, get_context("spawn")) as pool:
        most = pool.submit(soak, tmp_path / folder).result()
    print(f"{ANSWERS:,} answers took at most {most:.0f} MiB over the start")
    assert most <= budgets_mib()[number]
