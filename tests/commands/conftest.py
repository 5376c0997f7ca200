"""What the tests of commands share."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="module", autouse=True)
def _ladders(shared_ladders: None) -> None:
    """Solve each ladder once."""
