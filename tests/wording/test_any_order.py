"""A move is told alike whatever moves were asked about before it."""

from __future__ import annotations

from random import Random

import pytest

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.wording.moves import line, told
from tests.witness.positions import random_positions
from tests.wording.sampling import WITH_LADDER, WITHOUT, maker_for

#: Positions of each ending by default and in the exhaustive run, and moves of each position.
_FEW, _MANY, _MOVES = 2, 40, 4


def _told(maker: FactMaker, number: int) -> tuple[str, ...]:
    facts = maker.facts(maker.ranking[number].move)
    better = maker.better(facts)
    return (*told(facts, better), line(facts, better))


@pytest.mark.parametrize("count", [_FEW, pytest.param(_MANY, marks=pytest.mark.exhaustive)])
@pytest.mark.parametrize("ending", [*WITH_LADDER, *WITHOUT])
def test_what_is_told_of_a_move_does_not_hang_on_the_moves_told_before(
    library: Library, ending: str, count: int
) -> None:
    random = Random(f"any order {ending}")
    for board in random_positions(ending, count, seed=31):
        attack = random.choice(("method", "shortest"))
        asked = maker_for(library, board, attack)
        moves = random.sample(range(len(asked.ranking)), min(_MOVES, len(asked.ranking)))
        for number in moves:
            alone = _told(maker_for(library, board, attack), number)
            assert _told(asked, number) == alone, f"{board.fen()} {asked.ranking[number].move}: {alone}"
