"""The moves of whole arrays of positions are python-chess's moves, and so are checks and which positions are legal."""

from __future__ import annotations

from collections import Counter
from itertools import product

import chess
import numpy as np
import pytest

from tests.counting import counts
from tests.witness.clock_layers import ClockLayers
from tests.witness.clock_search import DRAWN
from tests.witness.positions import men_of
from tests.witness.whole import beside_after_double_step, checked, legal, moves, passing, placed, random_placements

ENDINGS = ["KQK", "KRK", "KPK", "KBNK", "KQKR", "KRPK", "KPPK", "KPKP", "KNKP", "KBKB", "KNNK"]


@counts(25, 60)
@pytest.mark.parametrize("ending", ENDINGS)
def test_legal_positions_their_checks_and_their_moves_are_python_chesss(ending: str, count: int) -> None:
    """A second king in check by two men in line cannot come about, which python-chess minds and the arrays do not."""
    random = np.random.default_rng(1)
    for first, turn in product(chess.COLORS, chess.COLORS):
        men = men_of(ending, first)
        squares = random_placements(men, count, random)
        apart = [len(set(column)) == len(men) for column in squares.T.tolist()]
        squares = squares[:, apart]
        boards = [placed(men, column, turn) for column in squares.T]
        sound = legal(men, squares, turn)
        wrong = ~chess.STATUS_IMPOSSIBLE_CHECK
        assert sound.tolist() == [position.status() & wrong == chess.STATUS_VALID for position in boards]
        squares = squares[:, sound]
        boards = [position for position, there in zip(boards, sound, strict=True) if there]
        assert checked(men, squares, turn).tolist() == [position.is_check() for position in boards]
        found = [Counter[tuple[str, bool]]() for _ in boards]
        for group in moves(men, squares, turn):
            for parent, column in zip(group.parents.tolist(), group.squares.T, strict=True):
                found[parent][placed(group.men, column, not turn).board_fen(), group.zeroing] += 1
        for position, those in zip(boards, found, strict=True):
            expected = Counter[tuple[str, bool]]()
            for move in position.legal_moves:
                zeroing = position.is_zeroing(move)
                position.push(move)
                expected[position.board_fen(), zeroing] += 1
                position.pop()
            assert those == expected, position.fen()


def test_where_a_capture_en_passant_may_come_next_is_told() -> None:
    men, told = men_of("KPKP"), []
    for white, black, turn in ((12, 29, True), (12, 28, True), (12, 30, True), (36, 51, False), (32, 55, False)):
        squares = np.array([[0], [white], [63 if black != 63 else 62], [black]])
        told.append(bool(beside_after_double_step(men, squares, turn)[0]))
    assert told == [True, False, False, True, False]


@pytest.mark.parametrize(("ending", "turn"), [*product(("KPKP", "KPPKP"), chess.COLORS)])
def test_captures_en_passant_of_whole_arrays_are_python_chesss(ending: str, turn: chess.Color) -> None:
    men, captured = men_of(ending), 0
    squares = random_placements(men, 30_000, np.random.default_rng(3))
    squares = squares[:, legal(men, squares, turn)]
    for group in moves(men, squares[:, beside_after_double_step(men, squares, turn)], turn):
        if group.stepper < 0:
            continue
        found = [list[str]() for _ in group.parents]
        for capture in passing(group.men, group.squares, not turn, group.stepper):
            assert capture.zeroing
            for number, column in zip(capture.parents.tolist(), capture.squares.T, strict=True):
                found[number].append(placed(capture.men, column, turn).board_fen())
        for those, column in zip(found, group.squares.T, strict=True):
            position = placed(group.men, column, not turn)
            position.ep_square = int(column[group.stepper]) + (-8 if turn else 8)
            expected = []
            for move in position.generate_legal_ep():
                position.push(move)
                expected.append(position.board_fen())
                position.pop()
            assert sorted(those) == sorted(expected), position.fen()
            captured += len(expected)
    assert captured > 50


def test_up_to_symmetry_there_are_as_many_positions_of_king_and_rook_as_are_published() -> None:
    """With Black to move: 28,056, the rows of "Chess (King-Rook vs. King)", 1994, from its documentation."""
    layers = ClockLayers("KRK", lambda board: DRAWN)
    assert sum(not layers.board(number).turn for number in range(layers.count)) == 28_056
