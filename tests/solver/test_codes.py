"""The codes: every code and both sides. A number without a code is an error, never another value."""

from __future__ import annotations

import chess
import numpy as np
import pytest

from matebot.solver import codes
from matebot.solver.attractor import Distances
from matebot.solver.codes import DRAW, ILLEGAL, MOST, NOWHERE, TOO_LONG
from matebot.solver.material import Material
from matebot.terms import CLAIM_PLIES

SIDES = (True, False)
EVERY = range(256)
#: Code and winner of every win there is a code for.
WINS = [(codes.code_of(number, winner), winner, number) for winner in SIDES for number in range(MOST[winner] + 1)]
NEITHER = (DRAW, ILLEGAL)


def test_every_code_is_one_win_or_a_draw_or_no_position() -> None:
    assert sorted([*NEITHER, *(code for code, _, _ in WINS)]) == list(EVERY)
    assert [(codes.white_wins(code), codes.number_of(code)) for code, _, _ in WINS] == [(w, n) for _, w, n in WINS]
    assert [codes.number_of(code) for code in NEITHER] == [None, None]


def test_codes_grow_from_whites_best_to_blacks_best() -> None:
    """A quicker win is better than a slower one, a slower loss than a quicker one."""
    white = sorted((code, number) for code, winner, number in WINS if winner)
    black = sorted((code, -number) for code, winner, number in WINS if not winner)
    assert [number for _, number in white] == sorted(number for _, number in white)
    assert [number for _, number in black] == sorted(number for _, number in black)
    assert white[-1][0] < DRAW < black[0][0]


def test_a_byte_holds_mates_in_127_moves() -> None:
    """The longest wins with five men, of two pawns against one; from memory."""
    assert codes.mate_plies(codes.code_of(127, True), True) == 253
    assert codes.mate_plies(codes.code_of(127, True), False) == 254


def test_plies_are_odd_with_the_winner_to_move_and_even_with_the_loser() -> None:
    for code, winner, moves in WINS:
        for side in SIDES:
            plies = codes.mate_plies(code, side)
            assert plies == (2 * moves - 1 if side == winner else 2 * moves)
            told = codes.MATE_PLIES[winner][side][code]
            assert told == (plies if plies >= 0 else NOWHERE), (code, side)
            assert codes.MATE_PLIES[not winner][side][code] == NOWHERE
    for code in NEITHER:
        assert [codes.mate_plies(code, side) for side in SIDES] == [None, None]
        assert {int(codes.MATE_PLIES[winner][side][code]) for winner in SIDES for side in SIDES} == {NOWHERE}


@pytest.mark.parametrize("white_moved", SIDES)
def test_one_move_earlier_mate_is_one_ply_further_off(white_moved: bool) -> None:
    for code in EVERY:
        after = codes.mate_plies(code, not white_moved)
        if code == codes.code_of(MOST[white_moved], white_moved):
            with pytest.raises(OverflowError):
                codes.deepen(code, white_moved)
        elif after is None:
            assert codes.deepen(code, white_moved) == code
        else:
            before = codes.deepen(code, white_moved)
            assert codes.mate_plies(before, white_moved) == after + 1
            assert codes.white_wins(before) == codes.white_wins(code)


@pytest.mark.parametrize("white_moved", SIDES)
def test_whole_arrays_are_deepened_like_single_codes(white_moved: bool) -> None:
    last = codes.code_of(MOST[white_moved], white_moved)
    every = np.array([code for code in EVERY if code != last], np.uint8)
    assert codes.deepened(every, white_moved).tolist() == [codes.deepen(int(code), white_moved) for code in every]
    with pytest.raises(OverflowError):
        codes.deepened(np.array([DRAW, last], np.uint8), white_moved)


def test_exchanging_the_colours_exchanges_the_winner_and_nothing_else() -> None:
    for code in EVERY:
        if code < DRAW and code > MOST[False]:
            with pytest.raises(OverflowError):
                codes.flip(code)
            with pytest.raises(OverflowError):
                codes.flipped(np.array([code], np.uint8))
            continue
        turned = codes.flip(code)
        assert codes.flip(turned) == code
        assert codes.number_of(turned) == codes.number_of(code)
        assert code in NEITHER or codes.white_wins(turned) != codes.white_wins(code)
        assert codes.flipped(np.array([code], np.uint8)).tolist() == [turned]


@pytest.mark.parametrize("winner", SIDES)
def test_who_is_to_move_wins_or_loses_by_whose_win_a_code_is(winner: bool) -> None:
    for number in range(1, MOST[winner] + 1):
        assert [codes.outcome(codes.code_of(number, winner), side) for side in (winner, not winner)] == [1, -1]
        assert codes.outcome(DRAW, winner) == 0


@pytest.mark.parametrize("winner", SIDES)
def test_a_number_without_a_code_is_an_error(winner: bool) -> None:
    for number in (-1, MOST[winner] + 1, 1_000):
        with pytest.raises(OverflowError, match=rf"expected a number from 0 to {MOST[winner]}.*got {number}"):
            codes.code_of(number, winner)
    distances, some = Distances((8, 1)), np.ones((8, 1), np.uint64)
    distances.add(some, winner, MOST[winner])
    assert (distances.reduced(some)[0, 0] == codes.code_of(MOST[winner], winner)).all()
    with pytest.raises(OverflowError):
        Distances((8, 1)).add(some, winner, MOST[winner] + 1)
    Distances((8, 1)).add(np.zeros((8, 1), np.uint64), winner, MOST[winner] + 1)  # there is no such position


@pytest.mark.parametrize("side", SIDES)
def test_where_only_mate_ends_a_leg_the_leg_is_the_plies_to_mate(side: bool) -> None:
    for code, winner, _ in WINS:
        leg = int(codes.MATES_AS_LEGS[side][code])
        plies = max(codes.mate_plies(code, side) or 0, 0)
        assert codes.white_wins(leg) == winner
        assert codes.number_of(leg) == (plies if plies <= 100 else TOO_LONG)
    assert TOO_LONG == CLAIM_PLIES + 1
    assert codes.MATES_AS_LEGS[side][list(NEITHER)].tolist() == list(NEITHER)


@pytest.mark.parametrize("ranks", range(1, 7))
def test_a_pawns_axis_holds_its_last_ranks_before_promotion(ranks: int) -> None:
    """Ranks as python-chess counts them, from 0."""
    white, black = (
        [s for s in chess.SQUARES if chess.square_rank(s) in last]
        for last in (range(7 - ranks, 7), range(1, 1 + ranks))
    )
    assert codes.squares_at("P", True, ranks).tolist() == white
    assert codes.squares_at("P", False, ranks).tolist() == black
    assert codes.squares_at("N", True, ranks).tolist() == codes.squares_of("N").tolist() == list(chess.SQUARES)
    assert codes.squares_of("P").tolist() == codes.squares_at("P", True).tolist() == list(chess.SQUARES)[8:56]


@pytest.mark.parametrize("white_moves", SIDES)
def test_a_best_move_leads_from_a_code_to_the_one_a_ply_nearer_to_mate(white_moves: bool) -> None:
    for code, winner, moves in WINS:
        if winner != white_moves:
            assert codes.undeepen(code, white_moves) == code
        elif moves:
            nearer = codes.undeepen(code, white_moves)
            assert codes.mate_plies(nearer, not white_moves) == (codes.mate_plies(code, white_moves) or 0) - 1
            assert codes.white_wins(nearer) == winner
    assert [codes.undeepen(code, white_moves) for code in NEITHER] == list(NEITHER)


def test_words_and_truth_values_are_the_same_sets() -> None:
    """Bit n of a word is the n-th truth value, as numbers say: 2 ** n."""
    truth = np.random.default_rng(4).integers(0, 2, (3, 5, 64)).astype(np.bool_)
    words = codes.pack(truth)
    assert words.shape == (3, 5)
    assert words.ravel().tolist() == [
        sum(1 << n for n in np.flatnonzero(row).tolist()) for row in truth.reshape(-1, 64).tolist()
    ]
    assert np.array_equal(codes.unpack(words), truth)


@pytest.mark.parametrize(("ending", "shape"), [("KNNK", (10, 64, 64, 64)), ("KRKP", (32, 64, 64, 48))])
def test_codes_that_are_all_the_same_take_no_room_and_have_a_place_for_every_position(
    ending: str, shape: tuple[int, ...]
) -> None:
    """Ten squares of the strong king without pawns, four files with them; 48 squares of a pawn."""
    same = codes.uniform(Material.parse(ending), DRAW)
    assert same.shape == shape
    assert not any(same.strides)
    assert int(same[0, 0, 0, 0]) == DRAW


@pytest.mark.parametrize("compiles", [True, False])
def test_which_codes_there_are_is_noted_beside_those_noted_before(
    monkeypatch: pytest.MonkeyPatch, compiles: bool
) -> None:
    if compiles:
        pytest.importorskip("numba")
    monkeypatch.setattr(codes, "can_compile", lambda: compiles)
    there = np.zeros(256, dtype=bool)
    for found in ([3, 3, 255], [0, 7]):
        codes.note(np.array(found, dtype=np.uint8), there)
    assert np.flatnonzero(there).tolist() == [0, 3, 7, 255]
