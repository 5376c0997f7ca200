"""Values that were published long before the project, none of them worked out by its solver."""

from __future__ import annotations

from itertools import product

import chess
import numpy as np
import pytest

from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.material import COVERED, Material, closure
from matebot.solver.tables import Tables
from tests.witness.positions import board_of, men_of

#: Longest mates, the side with the pieces to move, in moves: endgame handbooks' tables; from memory.
LONGEST_MATES = {"KQK": 10, "KRK": 16, "KBBK": 19, "KBNK": 33, "KPK": 28, "KQKR": 35, "KRKB": 29, "KRKN": 40}
#: The same to conversion: the same tables; from memory.
LONGEST_CONVERSIONS = {"KQKR": 31, "KRKB": 18, "KRKN": 27}


@pytest.mark.parametrize(("ending", "moves"), LONGEST_MATES.items())
def test_the_longest_mate_is_the_handbooks(tables: Tables, ending: str, moves: int) -> None:
    plies, fen = tables.longest(Material.parse(ending))
    assert (plies + 1) // 2 == moves
    assert fen


@pytest.mark.parametrize(("ending", "moves"), LONGEST_CONVERSIONS.items())
def test_the_longest_conversion_is_the_handbooks(tables: Tables, ending: str, moves: int) -> None:
    assert (tables.longest(Material.parse(ending), "dtz")[0] + 1) // 2 == moves


def mates(tables: Tables, ending: str) -> int:
    """Count the positions of the whole board in which the solver has Black mated."""
    return int(np.count_nonzero(tables.whole(Material.parse(ending), white_to_move=False) == 0))


def test_two_knights_mate_but_cannot_force_it(tables: Tables) -> None:
    """Source: handbooks; from memory."""
    knights = Material.parse("KNNK")
    assert mates(tables, "KNNK") > 0
    assert tables.longest(knights)[0] == 1


def test_there_are_464_mates_with_bishop_and_knight(tables: Tables) -> None:
    """Source: an independent experiment's count over the full board, White attacking; and python-chess's, here."""
    assert mates(tables, "KBNK") == 464
    assert mates_counted_on_the_board("KBNK") == 464


@pytest.mark.parametrize("ending", ["KQK", "KRK", "KNNK"])
def test_there_are_as_many_mates_as_the_board_shows(tables: Tables, ending: str) -> None:
    assert mates(tables, ending) == mates_counted_on_the_board(ending)


def mates_counted_on_the_board(ending: str) -> int:
    """Count the checkmates python-chess sees, men that are alike taken as different men.

    In these endings a king is mated only on the edge, with the other king two squares away, and by a man that would
    see it on an empty board.
    """
    men = men_of(ending)
    found = 0
    # Each square stands for as many others as reflections and turns carry it to.
    for black_king, weight in ((chess.A1, 4), (chess.B1, 8), (chess.C1, 8), (chess.D1, 8)):
        near = [s for s in chess.SQUARES if chess.square_distance(s, black_king) == 2]
        ranges = [near, *[chess.SQUARES] * (len(men) - 2), [black_king]]
        seeing = [{at for at in chess.SQUARES if black_king in board_of([man], [at], True).attacks(at)} for man in men]
        for squares in product(*ranges):
            if len(set(squares)) == len(men) and any(map(set.__contains__, seeing[1:-1], squares[1:-1])):
                board = board_of(men, squares, chess.BLACK)
                found += weight * board.is_checkmate()
    return found


def test_bishop_and_knight_win_almost_always(tables: Tables) -> None:
    """Source: published statistics, about 99.5 % with the attacker to move; from memory."""
    codes = tables.whole(Material.parse("KBNK"), white_to_move=True)
    share = np.count_nonzero(codes < DRAW) / np.count_nonzero(codes != ILLEGAL)
    assert share == pytest.approx(0.995, abs=0.001)


def test_there_are_35_endings_and_what_they_lead_to_is_among_them() -> None:
    assert len({material.name for material in COVERED}) == 35
    for material in COVERED:
        needed = closure(material)
        assert needed[-1] == material
        assert set(needed) <= set(COVERED)
        for position, ending in enumerate(needed):
            assert set(ending.children()) <= set(needed[:position])


@pytest.mark.parametrize("name", ["KQQQQK", "KK", "", "KBKNN", "x"])
def test_other_signatures_are_refused_with_the_list(name: str) -> None:
    with pytest.raises(ValueError, match="expected one of the endings KQK KRK"):
        Material.parse(name)
