"""Every value agrees with the values one move later, by other rules than the solver's: the proof of the solver.

Whole arrays of positions are held by `tests.witness.whole`, positions one by one, through the door that answers in
play, by `tests.witness.successors`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

import chess
import numpy as np
import pytest

from matebot.solver.material import COVERED, Material
from matebot.solver.tables import Tables
from tests.solver.scores import NOWHERE, Told
from tests.witness.positions import Man, every_position, men_of, random_en_passant_positions, random_positions
from tests.witness.successors import disagreement
from tests.witness.whole import (
    Squares,
    beside_after_double_step,
    expected,
    homes,
    legal,
    placed,
    placements,
    random_placements,
)

NAMES = [material.name for material in COVERED]
THREE_MEN = [name for name in NAMES if len(name) == 3]


def check(tables: Tables, boards: Iterable[chess.Board], at_least: int) -> int:
    """Compare positions with their successors and return how many there were."""
    seen = 0
    for position in boards:
        fault = disagreement(position, tables.value)
        assert fault is None, fault
        seen += 1
    assert seen >= at_least
    return seen


def hold(told: Told, men: Sequence[Man], squares: Squares, turn: chess.Color) -> int:
    """Compare whole arrays of placements with their successors and return how many of them are positions."""
    scores, sound = told(men, squares, turn), legal(men, squares, turn)
    wrong = (scores[0] != NOWHERE) != sound
    wrong[sound] |= (scores[:, sound] != expected(men, squares[:, sound], turn, told)).any(axis=0)
    assert not wrong.any(), [placed(men, squares[:, number], turn).fen() for number in np.flatnonzero(wrong)[:5]]
    return int(np.count_nonzero(sound))


def hold_all(tables: Tables, ending: str) -> int:
    """Compare all positions of an ending up to symmetry, the men written first being White's."""
    told, men = Told(tables), men_of(ending)
    tables.prepare(Material.parse(ending))
    return sum(hold(told, men, placements(men, [home]), turn) for home, turn in product(homes(men), (True, False)))


@pytest.mark.parametrize("ending", THREE_MEN)
def test_every_position_of_three_men_agrees_with_its_successors(tables: Tables, ending: str) -> None:
    assert hold_all(tables, ending) > 57_000


@pytest.mark.parametrize("ending", NAMES)
def test_many_positions_of_either_colour_and_side_agree_with_their_successors(tables: Tables, ending: str) -> None:
    told, random = Told(tables), np.random.default_rng(1)
    for first, turn in product(chess.COLORS, chess.COLORS):
        men = men_of(ending, first)
        assert hold(told, men, random_placements(men, 600, random), turn) > 170


@pytest.mark.parametrize("ending", NAMES)
def test_answers_in_play_agree_with_those_one_move_later(tables: Tables, ending: str) -> None:
    check(tables, random_positions(ending, 15, seed=1), 15)


def test_positions_with_a_capture_en_passant_agree_with_their_successors(tables: Tables) -> None:
    check(tables, random_en_passant_positions(150, seed=1), 150)


@pytest.mark.parametrize(("first", "turn"), [*product(chess.COLORS, chess.COLORS)])
def test_positions_with_a_double_step_that_may_be_captured_agree_with_their_successors(
    tables: Tables, first: chess.Color, turn: chess.Color
) -> None:
    men = men_of("KPKP", first)
    squares = random_placements(men, 20_000, np.random.default_rng(2))
    squares = squares[:, beside_after_double_step(men, squares, turn)]
    squares = squares[:, legal(men, squares, turn)]
    check(tables, (placed(men, column, turn) for column in squares.T[:40]), 40)


@pytest.mark.parametrize("ending", NAMES)
def test_a_position_and_its_images_have_one_value(tables: Tables, ending: str) -> None:
    """Colours exchanged always; reflected left to right always, in the two other ways when there is no pawn."""
    reflections = (chess.flip_horizontal, *(() if "P" in ending else (chess.flip_vertical, chess.flip_diagonal)))
    for board in random_positions(ending, 10, seed=2):
        value = tables.value(board)
        assert tables.value(board.mirror()) == value
        for reflection in reflections:
            assert tables.value(board.transform(reflection)) == value, board.fen()


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_all_positions_of_an_ending_agree_with_their_successors(tables: Tables, chosen_ending: Material) -> None:
    """All positions up to symmetry, either side to move, White having the men written first."""
    count = hold_all(tables, chosen_ending.name)
    print(f"{chosen_ending.name}: {count:,} positions agree")


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize("turn", chess.COLORS)
def test_all_positions_of_an_ending_of_five_men_agree_with_their_successors(
    five_men: Tables, chosen_five: Material, turn: chess.Color
) -> None:
    """As above, a placement of the kings at a time; of men that are alike one order is looked at."""
    told, men, count = Told(five_men), men_of(chosen_five.name), 0
    five_men.prepare(chosen_five)
    for home, king in product(homes(men), chess.SQUARES):
        squares = placements(men, [home], [king])
        for number in range(1, len(men)):
            if men[number] == men[number - 1]:
                squares = squares[:, squares[number - 1] < squares[number]]
        count += hold(told, men, squares, turn)
    print(f"{chosen_five.name}: {count:,} positions agree, {'White' if turn else 'Black'} to move")


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_every_position_with_a_rook_agrees_with_those_one_move_later(tables: Tables) -> None:
    check(tables, every_position("KRK"), 40_000)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_five_thousand_positions_of_every_ending_agree_with_their_successors(tables: Tables) -> None:
    for ending in NAMES:
        check(tables, random_positions(ending, 5_000, seed=3), 5_000)
    check(tables, random_en_passant_positions(5_000, seed=3), 5_000)
