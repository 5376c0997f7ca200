"""Moves run backwards: what takes a short way where little is asked for, held against the long way."""

from __future__ import annotations

import numpy as np
import pytest

from matebot.solver.material import Material
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement
from matebot.solver.symmetry import WHOLE_BOARD, Reduction


@pytest.mark.parametrize(("ending", "reduction"), [("KRKP", None), ("KPK", WHOLE_BOARD)])
def test_the_king_comes_from_all_places_together_as_from_a_few_at_a_time(
    ending: str, reduction: Reduction | None
) -> None:
    placement, random = Placement(Material.parse(ending), reduction), np.random.default_rng(6)
    moves = Moves(placement)
    reached = random.integers(0, 2**64, placement.shape, dtype=np.uint64) & placement.apart
    share = random.integers(0, 5, placement.shape[:-1])
    few = placement.empty()
    for number in range(5):
        moves.before(np.where((share == number)[..., None], reached, np.uint64(0)), True, few)
    assert np.array_equal(moves.before(reached, True, placement.empty()), few)
    assert not moves.before(placement.empty(), True, placement.empty()).any()
