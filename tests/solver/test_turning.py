"""Rows and columns of squares of eight by eight exchanged, held against numpy's own transposing."""

from __future__ import annotations

import numpy as np
import pytest

from matebot.solver.geometry import Words
from matebot.solver.turning import exchange


def _rows() -> Words:
    return np.random.default_rng(5).integers(0, 2**64, (8, 3), dtype=np.uint64)


def test_the_bytes_of_eight_words_change_places_across_the_diagonal() -> None:
    rows = _rows()
    squares = rows.copy().view(np.uint8).reshape(8, 3, 8)
    exchange(rows, 8)
    assert np.array_equal(rows.view(np.uint8).reshape(8, 3, 8), squares.transpose(2, 1, 0))


def test_the_bits_of_eight_bytes_change_places_across_the_diagonal() -> None:
    rows = _rows()
    squares = np.unpackbits(rows.copy().view(np.uint8).reshape(8, -1), axis=1, bitorder="little").reshape(8, -1, 8)
    exchange(rows, 1)
    turned = np.unpackbits(rows.view(np.uint8).reshape(8, -1), axis=1, bitorder="little").reshape(8, -1, 8)
    assert np.array_equal(turned, squares.transpose(2, 1, 0))


@pytest.mark.parametrize("column_bits", [1, 8])
def test_twice_exchanged_is_as_before(column_bits: int) -> None:
    rows = _rows()
    before = rows.copy()
    exchange(rows, column_bits)
    assert not np.array_equal(rows, before)
    exchange(rows, column_bits)
    assert np.array_equal(rows, before)
