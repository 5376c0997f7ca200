"""Every square, man, number and move of a sentence holds on the board, in endings without a ladder."""

from __future__ import annotations

import pytest

from matebot.method.library import Library
from tests.witness.spoken import claims
from tests.wording.claiming import BY_DEFAULT, MANY, check, said_of
from tests.wording.sampling import WITHOUT


@pytest.mark.parametrize("ending", WITHOUT)
def test_no_claim_is_false_where_there_is_no_ladder(library: Library, ending: str) -> None:
    check(library, (ending,), BY_DEFAULT, seed=41)


def test_a_safe_corner_is_named_where_a_line_has_no_room_for_why_it_is_safe(library: Library) -> None:
    text, about = said_of(library, "8/8/8/8/8/8/2bR4/k1K5 b - - 0 1", "Bb1", "shortest", in_a_line=True)
    assert text[0].endswith("the safe corner a1")
    assert claims(text, about) > 0


@pytest.mark.exhaustive
@pytest.mark.timeout(7200)
def test_no_claim_of_many_is_false(library: Library) -> None:
    check(library, WITHOUT, MANY, seed=1_000)
