"""A ray is swept over the board from its far end, each square once."""

from __future__ import annotations

import numpy as np
import pytest

from matebot.solver.geometry import sweep

SQUARES = np.arange(64).reshape(1, 8, 8, 1)
DIRECTIONS = [(ranks, files) for ranks in (-1, 0, 1) for files in (-1, 0, 1) if ranks or files]


def next_square(square: int, direction: tuple[int, int]) -> int | None:
    rank, file = square // 8 + direction[0], square % 8 + direction[1]
    return 8 * rank + file if rank in range(8) and file in range(8) else None


@pytest.mark.parametrize("direction", DIRECTIONS)
def test_a_ray_is_swept_from_the_edges_it_leaves_the_board_by_and_never_before_what_lies_ahead(
    direction: tuple[int, int],
) -> None:
    edges, steps = sweep(direction)
    swept = {int(square) for edge in edges for square in SQUARES[edge].flat}
    assert swept == {square for square in range(64) if next_square(square, direction) is None}
    for here, there in steps:
        fresh, ahead = SQUARES[here].ravel().tolist(), SQUARES[there].ravel().tolist()
        assert ahead == [next_square(square, direction) for square in fresh]
        assert swept.issuperset(ahead)
        assert swept.isdisjoint(fresh)
        swept.update(fresh)
    assert swept == {*range(64)}
