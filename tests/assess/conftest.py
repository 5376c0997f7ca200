"""What the tests of assessments share."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from matebot.assess.engines.uci_monitor import UciMonitor
from matebot.solver.tables import Tables
from tests.assess.command import PATIENCE_SECONDS, ROOT, Assess
from tests.assess.engines.answering import answering
from tests.assess.engines.small import TOLD_AT


@pytest.fixture(scope="session", autouse=True)
def _surroundings() -> Iterator[None]:
    """Let engines find the package, and have all the time they need to start."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", str(ROOT))
        patch.setattr(UciMonitor, "handshake_seconds", float(PATIENCE_SECONDS))
        yield


@pytest.fixture(scope="module", autouse=True)
def _moves_told(tables: Tables) -> Iterator[None]:
    """Tell small engines their moves."""
    with answering(tables) as port, pytest.MonkeyPatch.context() as patch:
        patch.setenv(TOLD_AT, str(port))
        yield


@pytest.fixture
def assess(tmp_path: Path) -> Assess:
    """Run assessments in a fresh folder."""
    return Assess(tmp_path)
