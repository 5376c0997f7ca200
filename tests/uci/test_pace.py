"""Time for a move: a function of the question, and what is asked of it while the clock runs (a clock of the tests)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matebot.uci.pace import Pace, allowance_seconds, patience_seconds
from matebot.uci.partnership import Question, Watch

TIMES = st.integers(-(10**6), 10**9)


@pytest.mark.parametrize(
    "question",
    [Question(), Question(depth=3), Question(mate=2), Question(search_moves=("a1a2",)), Question(black_ms=5)],
)
def test_without_a_limit_of_time_there_is_none(question: Question) -> None:
    assert allowance_seconds(question, white_to_move=True) is None


def test_infinite_knows_no_limit_whatever_else_is_said() -> None:
    question = Question(infinite=True, movetime_ms=5, nodes=1, white_ms=1)
    assert allowance_seconds(question, white_to_move=True) is None


@pytest.mark.parametrize(
    ("question", "seconds"),
    [
        (Question(movetime_ms=1000), 0.98),
        (Question(movetime_ms=50), 0.04),
        (Question(nodes=10_000), 0.98),
        (Question(white_ms=60_000, black_ms=1), 5.98),
        (Question(white_ms=60_000, moves_to_go=2), 29.98),
        (Question(white_ms=60_000, moves_to_go=40), 5.98),
        (Question(white_ms=1000, white_increment_ms=200), 0.23),
        (Question(white_ms=1000, white_increment_ms=10_000), 0.48),
        (Question(movetime_ms=10_000, white_ms=1000), 0.08),
        (Question(movetime_ms=0), 0.0),
        (Question(white_ms=-50), 0.0),
    ],
)
def test_the_strictest_limit_holds_less_a_reserve(question: Question, seconds: float) -> None:
    assert allowance_seconds(question, white_to_move=True) == pytest.approx(seconds)


def test_each_side_has_a_clock_and_an_increment_of_its_own() -> None:
    """The example of one side with the colours exchanged: the same share; the other side's numbers change nothing."""
    white = Question(white_ms=10_000, white_increment_ms=200, black_ms=50, black_increment_ms=7)
    black = Question(black_ms=10_000, black_increment_ms=200, white_ms=50, white_increment_ms=7)
    assert allowance_seconds(white, True) == allowance_seconds(black, False) == pytest.approx(1.13)


@given(
    st.builds(
        Question,
        movetime_ms=st.none() | TIMES,
        nodes=st.none() | TIMES,
        white_ms=st.none() | TIMES,
        black_ms=st.none() | TIMES,
        white_increment_ms=st.none() | TIMES,
        black_increment_ms=st.none() | TIMES,
        moves_to_go=st.none() | st.integers(-5, 1000),
    ),
    st.booleans(),
)
def test_no_limit_is_ever_outrun_and_no_more_than_half_of_a_clock_is_used(question: Question, white: bool) -> None:
    seconds = allowance_seconds(question, white)
    clock_ms = question.white_ms if white else question.black_ms
    if clock_ms is None and question.movetime_ms is None and question.nodes is None:
        assert seconds is None
        return
    assert seconds is not None
    assert seconds >= 0
    for limit in (question.movetime_ms, None if clock_ms is None else clock_ms / 2):
        if limit is not None:
            assert seconds <= max(0.0, limit / 1000)


def test_after_quit_an_answer_that_may_take_any_time_is_waited_for_longer_than_one_with_a_limit() -> None:
    timed = [Question(movetime_ms=1), Question(nodes=1, depth=1), Question(white_ms=1, black_ms=1)]
    untimed = [Question(), Question(depth=1), Question(mate=1)]
    assert max(map(patience_seconds, timed)) < min(map(patience_seconds, untimed))
    assert set(map(patience_seconds, untimed)) == {20.0}


class Game:
    """A question under a clock that the test moves."""

    def __init__(self, question: Question, asked_at: float | None = None) -> None:
        self.seconds = 100.0
        self.stopped = self.untimed = False
        self.asked_at = asked_at
        watch = Watch(lambda: self.stopped, lambda: self.untimed, lambda: self.asked_at)
        self.pace = Pace(question, True, watch, now=lambda: self.seconds)


def test_an_answer_is_due_when_the_time_is_up() -> None:
    game = Game(Question(movetime_ms=1000))
    assert not game.pace.is_due()
    game.seconds += 0.97
    assert not game.pace.is_due()
    assert game.pace.is_due_unsolved()
    game.seconds += 0.02
    assert game.pace.is_due()


def test_time_counts_from_the_asking() -> None:
    assert Game(Question(movetime_ms=1000), asked_at=99.0).pace.is_due()
    assert not Game(Question(movetime_ms=1000), asked_at=99.9).pace.is_due()


def test_no_time_is_up_while_none_counts_and_a_stop_ends_that_too() -> None:
    game = Game(Question(movetime_ms=1, ponder=True))
    game.untimed = True
    game.seconds += 1000
    assert not game.pace.is_due()
    game.asked_at, game.untimed = game.seconds, False
    assert not game.pace.is_due()
    game.seconds += 0.001
    assert game.pace.is_due()
    game.untimed = game.stopped = True
    assert game.pace.is_due()


def test_after_a_stop_there_is_a_little_time_to_make_the_answer_complete() -> None:
    game = Game(Question(infinite=True))
    assert not game.pace.is_overdue()
    game.stopped = True
    assert not game.pace.is_overdue()
    game.seconds += 0.03
    assert not game.pace.is_overdue()
    game.seconds += 0.02
    assert game.pace.is_overdue()


def test_a_solution_is_not_waited_for_so_long_that_no_time_is_left_to_look_for_a_move() -> None:
    game = Game(Question(movetime_ms=1000))
    waited = 0
    while not game.pace.is_due_unsolved():
        game.seconds += 0.001
        waited += 1
    assert 900 < waited < 960
    left = game.pace.left_seconds()
    assert left is not None
    assert game.seconds < game.pace.search_end() <= game.seconds + left


def test_a_short_time_is_halved_between_the_solution_and_the_search_for_a_move() -> None:
    game = Game(Question(movetime_ms=50))  # four hundredths of a second without the reserve
    game.seconds += 0.015
    assert not game.pace.is_due_unsolved()
    game.seconds += 0.01
    assert game.pace.is_due_unsolved()
    assert not game.pace.is_due()


def test_a_search_that_is_begun_when_the_time_is_up_gets_its_little_time_all_the_same() -> None:
    late, unlimited = Game(Question(movetime_ms=1000), asked_at=0.0), Game(Question(infinite=True))
    assert late.pace.is_due()
    for game in (late, unlimited):
        assert game.pace.search_end() == pytest.approx(game.seconds + 0.05)


def test_the_time_told_is_that_since_the_question_was_turned_to() -> None:
    game = Game(Question(), asked_at=50.0)
    game.seconds += 1.25
    assert game.pace.elapsed_ms() == 1250
