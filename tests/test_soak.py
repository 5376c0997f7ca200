"""A long session over all endings: what it takes in memory stays within the budget that the README states."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from random import Random

import pytest

from matebot.partner import MatePartner
from matebot.solver.material import COVERED
from matebot.uci.partnership import Question, Watch
from matebot.verification.positions import sample

ANSWERS = 30_000
README = Path(__file__).parent.parent / "README.md"


def budget_mib() -> int:
    found = re.search(r"at most (\d+) MiB more than at its start", README.read_text(encoding="utf-8"))
    assert found is not None
    return int(found[1])


def resident_mib() -> float:
    status = Path("/proc/self/status").read_text(encoding="ascii")
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found is not None
    return int(found[1]) / 1024


@pytest.mark.exhaustive
@pytest.mark.skipif(sys.platform != "linux", reason="reads the system's own account of memory")
@pytest.mark.parametrize("folder", [".", "no/such"])
def test_a_long_session_stays_within_its_memory(tmp_path: Path, folder: str) -> None:
    partner, random = MatePartner({"Table Folder": str(tmp_path / folder)}), Random(1)
    start, most = resident_mib(), 0.0
    for number in range(ANSWERS):
        (board,) = sample(random.choice(COVERED), 1, str(number))
        partner.set_position(board.fen(), ())
        answer = partner.go(Question(), lambda report: None, Watch())
        partner.rest(lambda: False)
        assert (answer.best is None) == (not any(board.legal_moves))
        most = max(most, resident_mib() - start)
    print(f"{ANSWERS:,} answers took at most {most:.0f} MiB over the start")
    assert most <= budget_mib()
