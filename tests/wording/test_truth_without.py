"""Every square, man, number and move of a sentence holds on the board, in endings without a ladder."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.wording.claiming import BY_DEFAULT, MANY, check
from tests.wording.sampling import WITHOUT


@pytest.mark.parametrize("ending", WITHOUT)
def test_no_claim_is_false_where_there_is_no_ladder(library: Library, ending: str) -> None:
    check(library, (ending,), BY_DEFAULT, seed=41)


@pytest.mark.exhaustive
@pytest.mark.timeout(7200)
def test_no_claim_of_many_is_false(library: Library) -> None:
    check(library, WITHOUT, MANY, seed=1_000)
