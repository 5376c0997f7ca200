"""Every value agrees with the values one move later, mates and moves being python-chess's: the proof of the solver."""

from __future__ import annotations

from collections.abc import Iterable

import chess
import pytest

from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables
from tests.witness.positions import every_position, random_en_passant_positions, random_positions
from tests.witness.successors import disagreement

NAMES = [material.name for material in COVERED]
MINOR_MATES = ("KBBK", "KBNK")


def check(tables: Tables, boards: Iterable[chess.Board], at_least: int) -> int:
    """Compare positions with their successors and return how many there were."""
    seen = 0
    for board in boards:
        fault = disagreement(board, tables.value)
        assert fault is None, fault
        seen += 1
    assert seen >= at_least
    return seen


@pytest.mark.parametrize("ending", ["KQK", "KRK"])
def test_every_position_agrees_with_its_successors(tables: Tables, ending: str) -> None:
    """All positions up to reflections and turns of the board, White strong; colours and images follow below."""
    check(tables, every_position(ending), 40_000)


@pytest.mark.parametrize("ending", MINOR_MATES)
def test_ten_thousand_positions_of_the_minor_mates_agree_with_their_successors(tables: Tables, ending: str) -> None:
    check(tables, random_positions(ending, 10_000, seed=1), 10_000)


@pytest.mark.parametrize("ending", [name for name in NAMES if name not in MINOR_MATES])
def test_positions_of_either_colour_and_side_agree_with_their_successors(tables: Tables, ending: str) -> None:
    check(tables, random_positions(ending, 300, seed=1), 300)


def test_positions_with_a_capture_en_passant_agree_with_their_successors(tables: Tables) -> None:
    check(tables, random_en_passant_positions(2_000, seed=1), 2_000)


@pytest.mark.parametrize("ending", NAMES)
def test_a_position_and_its_images_have_one_value(tables: Tables, ending: str) -> None:
    """Colours exchanged always; reflected left to right always, in the two other ways when there is no pawn."""
    reflections = (chess.flip_horizontal, *(() if "P" in ending else (chess.flip_vertical, chess.flip_diagonal)))
    for board in random_positions(ending, 100, seed=2):
        value = tables.value(board)
        assert tables.value(board.mirror()) == value
        for reflection in reflections:
            assert tables.value(board.transform(reflection)) == value, board.fen()


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_all_positions_of_an_ending_agree_with_their_successors(tables: Tables, chosen_ending: Material) -> None:
    """All positions up to symmetry, either side to move, White having the men written first."""
    count = check(tables, every_position(chosen_ending.name), 1)
    print(f"{chosen_ending.name}: {count:,} positions agree")


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_five_thousand_positions_of_every_ending_agree_with_their_successors(tables: Tables) -> None:
    for ending in NAMES:
        check(tables, random_positions(ending, 5_000, seed=3), 5_000)
    check(tables, random_en_passant_positions(5_000, seed=3), 5_000)
