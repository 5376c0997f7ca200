"""Five hundred games with two jobs keep the memory flat. Takes minutes, so it is not among the daily tests."""

from __future__ import annotations

import pytest

from tests.benchmarks.assess import five_hundred

MOST_GROWTH_KIB = 16 * 1024


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_five_hundred_games_keep_the_memory_flat() -> None:
    _, sizes_kib = five_hundred()
    assert sizes_kib[-1] - sizes_kib[1] < MOST_GROWTH_KIB
