"""What the method takes, and what the clock leaves: numbers of which the text holds no others."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any, cast

import pytest

from matebot.method.ladder import Rung
from matebot.method.plans import ALL_PLANS
from matebot.method.standing import Standing
from matebot.terms import CLAIM_PLIES, Cause
from matebot.wording import clock, outlook

COLOURS = ("white", "black")


def by_method(
    plies: int = 17, mate: int | None = 5, after: int = -1, exact: bool = True, clock_plies: int = 0, standings: int = 1
) -> list[int] | None:
    """Return the numbers told where the method mates in nine moves, None where nothing is told."""
    plan = next(iter(ALL_PLANS["KRK"]))
    facts = SimpleNamespace(
        places=SimpleNamespace(standings_after=[Standing(plan, Rung(0, plies), 9)] * standings),
        worth=SimpleNamespace(mate_moves=mate, exact_after=exact, outcome_after=after),
        counts=SimpleNamespace(clock_plies=clock_plies),
    )
    text = outlook.by_method(cast("Any", facts))
    return [int(number) for number in re.findall(r"\d+", text)] if text else None


def test_the_method_is_compared_with_the_shortest_mate_counted_from_before_the_move() -> None:
    assert by_method() == [9, 5]
    assert by_method(mate=9) == [9]
    assert by_method(after=1) == [10, 5]
    assert by_method(after=1, mate=10) == [10]
    assert by_method(after=0) == [9, 5]


def test_the_method_is_not_compared_where_something_is_not_known_or_not_there() -> None:
    assert by_method(standings=0) is None
    assert by_method(mate=None) is None
    assert by_method(exact=False) is None


def test_the_method_is_not_spoken_of_where_the_count_of_moves_ends_before_it() -> None:
    """Source: FIDE Laws of Chess, 9.3 and 9.6.2: mate on the hundredth ply counts."""
    assert by_method(plies=19, clock_plies=CLAIM_PLIES - 19) == [9, 5]
    assert by_method(plies=20, clock_plies=CLAIM_PLIES - 19) is None


def test_what_the_men_are_worth_is_told_beside_a_draw_that_may_be_claimed() -> None:
    for cause in (Cause.FIFTY_MOVES, Cause.REPETITION):
        for winner in COLOURS:
            text = clock.claimable(cause, winner, 7)
            assert (f" {winner.capitalize()} " in text, re.findall(r"\d+", text)) == (True, ["7"])
        drawn = clock.claimable(cause, None, 0)
        assert not re.findall(r"\d+|White|Black", drawn)
        assert ("fifty" in drawn.lower()) == (cause is Cause.FIFTY_MOVES)
        assert ("third time" in drawn) == (cause is Cause.REPETITION)


@pytest.mark.parametrize("winner", COLOURS)
def test_a_mate_that_comes_too_late_and_the_moves_left_are_told(winner: str) -> None:
    for left in (0, 1, 6):
        text = clock.too_late(winner, 31, left)
        assert f" {winner.capitalize()} " in text
        assert re.findall(r"\d+", text) == ["31", *([str(left)] if left else [])]
        assert ("only" in text) == bool(left)
        assert ("1 move." in text) == (left == 1)
    assert re.findall(r"\d+", clock.tight(20, 18, True)) == ["20", "18"]


def test_what_no_clock_lets_win_is_drawn_whatever_the_men_could_do() -> None:
    for plies in (9, None):
        assert outlook.position("white", 0, Cause.FIFTY_MOVES, plies, True, ("rook",)).startswith("Drawn")


def test_the_count_of_a_side_begins_with_what_is_lost_then_wins_then_draws() -> None:
    text = outlook.tally(4, True, 1, 3, 9)
    places = [text.index(words) for words in ("4 moves", "win", "draw", "9 moves")]
    assert places == sorted(places)
