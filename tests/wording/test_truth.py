"""Every square, man, number and move of a sentence holds on the board, in endings with a ladder."""

from __future__ import annotations

import re
from itertools import islice

import chess
import pytest

from matebot.method.library import Library
from matebot.method.plans import PLANS
from tests.witness.spoken import SQUARE, Fault, claims
from tests.wording.claiming import BY_DEFAULT, MANY, check, spoken
from tests.wording.sampling import WITH_LADDER, WITHOUT


@pytest.mark.parametrize("ending", WITH_LADDER)
def test_no_claim_is_false_where_there_is_a_ladder(library: Library, ending: str) -> None:
    check(library, (ending,), BY_DEFAULT, seed=41)


def test_a_square_changed_in_a_sentence_is_found(library: Library) -> None:
    found = changed = 0
    for ending in ("KBNK", "KRK", "KPK", "KRKN"):
        for text, about in islice(spoken(library, ending, seed=43), 12):
            for place, part in enumerate(text):
                for match in re.finditer(SQUARE, part):
                    square = chess.square_name(chess.parse_square(match[0]) ^ 27)
                    other = f"{part[: match.start()]}{square}{part[match.end() :]}"
                    changed += 1
                    try:
                        claims([*text[:place], other, *text[place + 1 :]], about)
                    except Fault:
                        found += 1
    assert changed > 100
    assert found > 0.9 * changed


@pytest.mark.exhaustive
@pytest.mark.timeout(7200)
def test_no_claim_of_many_is_false(library: Library) -> None:
    check(library, WITH_LADDER, MANY, seed=1_000)


def test_the_endings_sampled_with_a_ladder_have_one_and_the_others_none() -> None:
    assert set(WITH_LADDER) <= set(PLANS)
    assert not set(WITHOUT) & set(PLANS)
