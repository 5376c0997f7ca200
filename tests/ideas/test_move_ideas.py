"""The ideas about moves are what their witnesses say."""

from __future__ import annotations

from collections import Counter

import pytest

from matebot.ideas import cage, guards, holes
from tests.ideas.claims import ENDINGS, Claim, Seen, compare, mirrored, pairs
from tests.witness.ideas import cage as cage_witness
from tests.witness.ideas import guards as guards_witness
from tests.witness.ideas import holes as holes_witness

IDEAS: dict[str, tuple[Seen, Claim]] = {
    "cage": (cage.seen, cage_witness.claim),
    "holes": (holes.seen, holes_witness.claim),
    "guards": (guards.seen, guards_witness.claim),
}
_BY_DEFAULT, _MANY = 24, 1_000


def check(name: str, count: int, seed: int) -> None:
    seen, claim = IDEAS[name]
    tally: Counter[bool] = Counter()
    for ending in ENDINGS:
        tally += compare(seen, claim, pairs(ending, count, seed))
    assert tally[True], f"{name} was never seen"
    assert tally[False], f"{name} was always seen"


@pytest.mark.parametrize("name", IDEAS)
def test_an_idea_is_what_its_witness_says(name: str) -> None:
    check(name, _BY_DEFAULT, seed=1)


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("name", IDEAS)
def test_an_idea_is_what_its_witness_says_on_many_moves(name: str) -> None:
    check(name, _MANY, seed=2)


@pytest.mark.parametrize("name", IDEAS)
def test_an_idea_does_not_know_which_colour_attacks(name: str) -> None:
    seen, _ = IDEAS[name]
    for ending in ("KBNK", "KRK", "KPK"):
        for pair in pairs(ending, 30, seed=5):
            here, there = seen(*pair), seen(*mirrored(pair))
            assert type(here) is type(there), (pair[0].fen(), pair[1])
