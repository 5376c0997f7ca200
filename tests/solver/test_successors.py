"""Every value agrees with the values one move later, mates and moves being python-chess's: the proof of the solver."""

from __future__ import annotations

from collections.abc import Iterable

import chess
import pytest

from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables
from matebot.verification.agreement import Finding, examine
from matebot.verification.positions import every, kings
from matebot.verification.successors import Places
from tests.witness.positions import every_position, random_en_passant_positions, random_positions
from tests.witness.successors import disagreement

NAMES = [material.name for material in COVERED]
MINOR_MATES = ("KBBK", "KBNK")
THREE_MEN = [name for name in NAMES if len(name) == 3]


def check(tables: Tables, boards: Iterable[chess.Board], at_least: int) -> int:
    """Compare positions with their successors and return how many there were."""
    seen = 0
    for board in boards:
        fault = disagreement(board, tables.value)
        assert fault is None, fault
        seen += 1
    assert seen >= at_least
    return seen


def test_every_position_with_a_rook_agrees_with_its_successors(tables: Tables) -> None:
    """All positions up to reflections and turns of the board, White strong; colours and images follow below."""
    check(tables, every_position("KRK"), 40_000)


@pytest.mark.parametrize("ending", THREE_MEN)
def test_every_position_of_three_men_agrees_with_its_successors(tables: Tables, ending: str) -> None:
    """The same by the check that users have, whole batches at a time; it is tested in `commands.test_verify`."""
    material, places, found = Material.parse(ending), Places(tables), Finding()
    for placed in kings(material):
        found += examine(every(material, *placed), places)
    assert not found.faults, found.shown
    assert found.positions > 57_000


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
