"""What is worked out once before changes are made that cannot touch it: every ending."""

from __future__ import annotations

import pytest

from matebot.solver.material import COVERED
from matebot.solver.tables import Tables


@pytest.mark.timeout(0)
def test_every_ending_is_solved(tables: Tables) -> None:
    for material in COVERED:
        tables.prepare(material)
