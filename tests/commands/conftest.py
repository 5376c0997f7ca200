"""What the tests of commands share."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

import chess
import pytest

from matebot.solver.material import Material
from matebot.verification import agreement
from matebot.verification.pointed import ends

_moves = agreement._moves
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


#: The legal moves of positions looked at, by all that they depend on: no tables are among it.
_MOVES: dict[object, array[int]] = {}
_REMEMBERED = 50_000


def _moves_made_once(board: chess.Board, swapped: bool) -> array[int]:
    kinds = board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings
    key = *kinds, board.occupied_co[True], board.turn, swapped
    if key not in _MOVES:
        if len(_MOVES) >= _REMEMBERED:
            _MOVES.clear()
        _MOVES[key] = _moves(board, swapped)
    return _MOVES[key]


@pytest.fixture(scope="module", autouse=True)
def _verify_finds_ends_and_moves_once() -> Iterator[None]:
    """Look for the mates and stalemates of an ending, and for moves, once: they are found without its tables."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(agreement, "_moves", _moves_made_once)
        patch.setattr("matebot.verification.pointed.ends", _ends_found_once)
        yield
