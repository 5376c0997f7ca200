"""What is taught of every ladder, made once for all tests of lessons."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from matebot.lessons.lesson_plans import ladder_named
from matebot.lessons.taught import Taught
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.solver.tables import Tables
from tests.lessons.once import taught_once

Ladder = tuple[str, str]
#: The ladders that are taught in every run; the others, taught in the same way, only where all is tested.
_EVERY_DAY = ("edge and corner", "box", "key squares")
LADDERS = [
    pytest.param(
        (ending, plan.name), id=f"{ending} {plan.name}", marks=() if plan.name in _EVERY_DAY else pytest.mark.exhaustive
    )
    for ending, plans in PLANS.items()
    for plan in plans
]


@pytest.fixture(scope="session")
def taught(tables: Tables) -> Callable[[Ladder], Taught]:
    """Return a way to what is taught of a ladder."""
    library = Library(tables)
    return lambda ladder: taught_once(library, ladder_named(*ladder))
