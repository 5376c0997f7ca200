"""The time left follows from the work done; until enough is done nothing is said of it."""

from __future__ import annotations

import pytest

from matebot.solver.material import Material
from matebot.solver.time_left import TimeLeft, effort

FIVE = Material.parse("KRNKR", largest=5)


def test_the_time_left_follows_from_the_work_done() -> None:
    """A third of the layers of the only ending has taken ten seconds."""
    seconds = iter([0.0, 10.0])
    left = TimeLeft([FIVE], clock=lambda: next(seconds))
    assert left.said() == ""
    for _ in range(40):
        left.layer(FIVE)
    assert left.done == pytest.approx(1 / 3)
    assert left.said() == ", about 20 s left"


@pytest.mark.parametrize(("seconds", "said"), [(49, "98 s"), (50, "2 min"), (3_630, "121 min")])
def test_the_time_left_is_told_in_minutes_from_a_hundred_seconds_on(seconds: float, said: str) -> None:
    """A third is done, so what is left takes twice as long as what is done; 121 minutes are 7,260 seconds."""
    begun = iter([0.0, seconds])
    left = TimeLeft([FIVE], clock=lambda: next(begun))
    for _ in range(40):
        left.layer(FIVE)
    assert left.said() == f", about {said} left"


def test_an_ending_is_done_when_the_next_is_begun() -> None:
    krk, kqk = Material.parse("KRK"), Material.parse("KQK")
    left = TimeLeft([kqk, krk])
    left.layer(krk)
    left.layer(kqk)
    assert left.done == pytest.approx(effort(krk) / (effort(krk) + effort(kqk)), abs=0.01)
