"""Plies become moves in one way, and the closed lists of words agree with the laws."""

from __future__ import annotations

import pytest

from matebot.laws.verdict import CAUSES
from matebot.terms import Cause, Mistake, Outcome, attacker_moves, moves_begun, moves_left


@pytest.mark.parametrize(
    ("plies", "attacker_to_move", "moves"),
    [(0, False, 0), (1, True, 1), (2, False, 1), (3, True, 2), (4, False, 2), (59, True, 30), (60, False, 30)],
)
def test_a_mate_in_plies_is_a_mate_in_the_attackers_moves(plies: int, attacker_to_move: bool, moves: int) -> None:
    """Source: Universal Chess Interface, "score mate y": mate in y moves, not plies."""
    assert attacker_moves(plies, attacker_to_move) == moves


def test_a_bound_of_the_wrong_parity_is_rounded_to_what_can_happen() -> None:
    """The attacker mates with his own move, so of two plies with him to move only the first can be it."""
    assert attacker_moves(2, True) == 1
    assert attacker_moves(3, False) == 1


def test_the_last_move_before_a_claim_may_be_the_mate() -> None:
    """Source: FIDE Laws of Chess, 9.3 and 9.6.2: mate on the hundredth ply counts."""
    assert moves_left(99, True) == 1
    assert moves_left(99, False) == 0
    assert moves_left(0, True) == moves_left(0, False) == moves_left(1, True) == 50
    assert moves_left(100, True) == moves_left(140, True) == 0


def test_moves_begun_count_the_one_half_done() -> None:
    assert [moves_begun(plies) for plies in range(5)] == [0, 1, 1, 2, 2]


def test_the_causes_of_the_laws_are_the_closed_list() -> None:
    assert tuple(cause.value for cause in Cause) == CAUSES


def test_only_a_move_slower_and_nothing_are_no_slips() -> None:
    assert {mistake for mistake in Mistake if not mistake.is_slip} == {Mistake.SLOWER, Mistake.NONE}
    assert [Outcome(number).word for number in (1, 0, -1)] == ["win", "draw", "loss"]
