"""What the tests of assessments share."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.assess.running import ROOT, Assess


@pytest.fixture
def assess(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Assess:
    """Run assessments in a fresh folder; engines find the package."""
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    return Assess(tmp_path, capsys)
