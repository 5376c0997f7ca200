"""What is worked out once before changes are made that cannot touch it: the endings, all or those named."""

from __future__ import annotations

import os

import pytest

from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables


@pytest.mark.timeout(0)
def test_the_endings_are_solved(tables: Tables) -> None:
    named = os.environ.get("MUTATION_SOLVED")
    for material in map(Material.parse, named.split(",")) if named else COVERED:
        tables.prepare(material)
