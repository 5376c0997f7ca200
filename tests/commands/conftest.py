"""What the tests of commands share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

import chess
import pytest

from matebot.solver.material import Material
from matebot.verification.pointed import ends

#: The mates and stalemates of a sample, and how chance went on, by what they were found from.
_FOUND: dict[object, tuple[list[chess.Board], Any]] = {}


def _ends_found_once(
    material: Material, white_to_move: bool, random: Random, pairs: Sequence[tuple[chess.Square, chess.Square]] = ()
) -> Iterator[chess.Board]:
    key = material, white_to_move, random.getstate(), tuple(pairs)
    if key not in _FOUND:
        _FOUND[key] = list(ends(material, white_to_move, random, pairs)), random.getstate()
    boards, state = _FOUND[key]
    random.setstate(state)
    yield from boards


@pytest.fixture(scope="module", autouse=True)
def _verify_finds_ends_once() -> Iterator[None]:
    """Look for the mates and stalemates of an ending once: they are found without its tables."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("matebot.verification.pointed.ends", _ends_found_once)
        yield
