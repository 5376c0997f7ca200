"""One ending at hand: what is solved is there before it is kept, and a file found damaged is given up and told of."""

from __future__ import annotations

from typing import cast

import pytest

from matebot.solver.ending import Ending
from matebot.solver.lookup import Recent
from matebot.solver.material import Material
from matebot.solver.retrograde import Solution
from matebot.solver.sources import Damaged
from matebot.solver.table_file import Kept

KRK = Material.parse("KRK")


class Spoilt:
    """A kept ending of which nothing can be read."""

    in_parts = True

    def present(self, *asked: object) -> frozenset[int]:
        raise Damaged("is cut short")


@pytest.fixture
def told() -> list[tuple[Material, str]]:
    return []


@pytest.fixture
def ending(told: list[tuple[Material, str]]) -> Ending:
    def spoilt(material: Material, fault: Damaged) -> None:
        told.append((material, str(fault)))

    return Ending(KRK, lambda ending: None, spoilt, None, Recent(1 << 20))


def test_a_file_that_cannot_tell_its_codes_is_given_up_and_told_of(
    ending: Ending, told: list[tuple[Material, str]]
) -> None:
    ending.kept = cast("Kept", Spoilt())
    assert ending.present(0, True) is None
    assert ending.kept is None
    assert told == [(KRK, "is cut short")]


def test_what_is_solved_is_there_whether_it_is_kept_or_not(ending: Ending) -> None:
    there = [ending.is_there]
    ending.solution = cast("Solution", object())
    there.append(ending.is_there)
    ending.kept = cast("Kept", Spoilt())
    there.append(ending.is_there)
    ending.solution = None
    there.append(ending.is_there)
    assert there == [False, True, True, True]
