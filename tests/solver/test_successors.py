"""Every value agrees with the values one move later, mates and moves being python-chess's: the proof of the solver."""

from __future__ import annotations

import pytest

from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables
from tests.witness.positions import every_position, random_en_passant_positions, random_positions
from tests.witness.successors import disagreement

NAMES = [material.name for material in COVERED]
MINOR_MATES = ("KBBK", "KBNK")


def check(tables: Tables, boards: object, at_least: int) -> None:
    seen = 0
    for board in boards:  # type: ignore[attr-defined]
        fault = disagreement(board, tables.value)
        assert fault is None, fault
        seen += 1
    assert seen >= at_least


@pytest.mark.parametrize("ending", ["KQK", "KRK"])
def test_every_position_agrees_with_its_successors(tables: Tables, ending: str) -> None:
    """All positions up to reflections and turns of the board, White strong; colours and images follow below."""
    check(tables, every_position(ending), 40_000)


@pytest.mark.parametrize("ending", MINOR_MATES)
def test_ten_thousand_positions_of_the_minor_mates_agree_with_their_successors(tables: Tables, ending: str) -> None:
    check(tables, random_positions(ending, 10_000, seed=1), 10_000)


@pytest.mark.parametrize("ending", [name for name in NAMES if name not in MINOR_MATES])
def test_positions_of_either_colour_and_side_agree_with_their_successors(tables: Tables, ending: str) -> None:
    check(tables, random_positions(ending, 250, seed=1), 250)


def test_positions_with_a_capture_en_passant_agree_with_their_successors(tables: Tables) -> None:
    check(tables, random_en_passant_positions(500, seed=1), 500)


@pytest.mark.parametrize("ending", ["KQK", "KRK", "KPK", "KBNK", "KQKR", "KPKP"])
def test_a_position_and_its_images_have_one_value(tables: Tables, ending: str) -> None:
    for board in random_positions(ending, 100, seed=2):
        value = tables.value(board)
        assert tables.value(board.mirror()) == value
        if "P" not in ending:
            for turn in (_left_right, _upside_down, _corner_to_corner):
                assert tables.value(board.transform(turn)) == value


def _left_right(bitboard: int) -> int:
    import chess

    return chess.flip_horizontal(bitboard)


def _upside_down(bitboard: int) -> int:
    import chess

    return chess.flip_vertical(bitboard)


def _corner_to_corner(bitboard: int) -> int:
    import chess

    return chess.flip_diagonal(bitboard)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_all_positions_of_an_ending_agree_with_their_successors(tables: Tables, chosen_ending: Material) -> None:
    count = 0
    for board in every_position(chosen_ending.name):
        fault = disagreement(board, tables.value)
        assert fault is None, fault
        count += 1
    print(f"{chosen_ending.name}: {count:,} positions agree")


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_five_thousand_positions_of_every_ending_agree_with_their_successors(tables: Tables) -> None:
    for ending in NAMES:
        check(tables, random_positions(ending, 5_000, seed=3), 5_000)
    check(tables, random_en_passant_positions(5_000, seed=3), 5_000)
