"""Ladders held against python-chess one position at a time: a second proof, of some positions, by other code."""

from __future__ import annotations

from functools import partial

import chess
import pytest

from matebot.ideas.conditions import holds
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.solver.material import Material
from matebot.solver.tables import Tables
from tests.witness.ladder_steps import Place, fault
from tests.witness.positions import random_positions

_BY_DEFAULT, _MANY = 30, 5_000


def place_of(library: Library, board: chess.Board, attacker: chess.Color) -> Place | None:
    """Return where a position stands that the attacker wins: in its ending's ladder, or by the shortest way."""
    if board.occupied == board.kings:
        return None
    value = library.tables.value(board)
    if value.dtm_plies is None or value.outcome != (1 if board.turn == attacker else -1):
        return None
    stand, _ = library.tables.stand(board)
    assert stand.material is not None
    rung = library.rung(stand)
    if rung is None:
        # The weaker side may win too, and has no ladder.
        return Place(stand.material.name, 0, value.dtm_plies)
    return Place(stand.material.name, rung.stage, rung.plies)


def check(library: Library, ending: str, count: int, seed: int) -> None:
    checked = 0
    for board in random_positions(ending, 20 * count, seed):
        if checked == count:
            break
        stand, _ = library.tables.stand(board)
        if library.rung(stand) is not None:
            attacker = board.turn if library.tables.value(board).outcome > 0 else not board.turn
            assert not fault(board, attacker, partial(place_of, library, attacker=attacker)), board.fen()
            checked += 1
    assert checked == count


@pytest.mark.parametrize("ending", list(PLANS))
def test_some_positions_bear_the_ladder_out_with_moves_of_python_chess(library: Library, ending: str) -> None:
    check(library, ending, _BY_DEFAULT, seed=21)


@pytest.mark.exhaustive
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("ending", list(PLANS))
def test_many_positions_bear_the_ladder_out_with_moves_of_python_chess(library: Library, ending: str) -> None:
    check(library, ending, _MANY, seed=22)


@pytest.mark.parametrize("ending", list(PLANS))
def test_a_position_of_a_stage_fulfils_its_conditions_at_least_after_the_attackers_move(
    library: Library, ending: str
) -> None:
    plan, outside = PLANS[ending][0], 0
    for board in random_positions(ending, 300, seed=23):
        rung = library.rung(library.tables.stand(board)[0])
        if rung is not None and not board.is_checkmate():
            attacks = library.tables.value(board).outcome > 0
            attacker = board.turn if attacks else not board.turn
            zone = plan.stages[rung.stage].conditions
            inside = all(holds(condition, board, attacker) for condition in zone)
            assert inside or (attacks and plan.stages[rung.stage].after_move), board.fen()
            outside += not inside
    assert (outside > 0) == any(stage.after_move for stage in plan.stages)


def test_the_witness_sees_a_ladder_that_goes_back_or_misses_the_nearest_move(library: Library) -> None:
    place = partial(place_of, library, attacker=chess.WHITE)

    def shifted(at: chess.Board, here: str) -> Place | None:
        found = place(at)
        return found if found is None or at.board_fen() == here else found._replace(stage=-1)

    ahead, replying = chess.Board("8/8/6K1/8/8/3Q4/4p3/4k3 w - - 0 1"), chess.Board("8/8/8/5K2/8/3Q4/4p3/4k3 b - - 0 1")
    for board, expected in ((ahead, "no way nearer"), (replying, "leads back")):
        assert not fault(board, chess.WHITE, place)
        assert expected in fault(board, chess.WHITE, partial(shifted, here=board.board_fen()))


def test_only_an_ending_whose_ladder_is_not_solved_is_passed_over_where_none_is_waited_for(tables: Tables) -> None:
    library, rook, minor = Library(tables), Material.parse("KRK"), Material.parse("KBK")
    library._ladders = {}  # not those that all tests share
    assert not library.is_passed_over(rook)
    with library.only_solved():
        assert [library.is_passed_over(material) for material in (rook, minor)] == [True, False]
    library.ladders(rook)
    with library.only_solved():
        assert not library.is_passed_over(rook)
