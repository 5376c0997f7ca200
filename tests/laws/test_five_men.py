"""Five men under the fifty-move rule: outcomes are exact, and where the way to mate is not, no bound is too low."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from random import Random

import chess
import pytest

from matebot.laws.referee import judge
from matebot.laws.verdict import Verdict
from matebot.method.library import Library
from matebot.play.ranking import ranked
from matebot.play.truth import TableTruth
from matebot.solver.behind import TablesBehind
from matebot.solver.clocked import LONGEST_DTM_PLIES
from matebot.solver.codes import DRAW, TOO_LONG, code_of
from matebot.solver.successors import Step
from matebot.solver.tables import Tables, Value
from tests.witness.clock_search import Clocked, ClockSearch
from tests.witness.positions import random_positions

ROOK_AND_KNIGHT = "8/8/4r3/2k5/8/2N5/1K6/R7 w - - 0 1"
ROOK_AND_PAWN = "8/8/4r3/2k5/8/2P5/1K6/R7 w - - 0 1"


@pytest.fixture
def worth(monkeypatch: pytest.MonkeyPatch) -> Callable[[Value], Tables]:
    """Return tables that say the same of every position."""

    def tables(value: Value) -> Tables:
        monkeypatch.setattr(Tables, "value_of", lambda tables, stand: value)
        return Tables(largest=5)

    return tables


@pytest.mark.parametrize(
    ("fen", "clock", "value", "outcome", "cause", "plies", "exact"),
    [
        (ROOK_AND_KNIGHT, 0, Value(1, 61, 9), 1, "forced", 61, True),
        (ROOK_AND_KNIGHT, 39, Value(1, 61, 9), 1, "forced", 61, True),
        (ROOK_AND_KNIGHT, 40, Value(1, 61, 9), 1, "forced", 9 + LONGEST_DTM_PLIES[False], False),
        (ROOK_AND_KNIGHT, 91, Value(1, 61, 9), 1, "forced", 9 + LONGEST_DTM_PLIES[False], False),
        (ROOK_AND_KNIGHT, 92, Value(1, 61, 9), 0, "fifty moves", None, True),
        (ROOK_AND_KNIGHT, 0, Value(1, 205, 9), 1, "forced", 9 + LONGEST_DTM_PLIES[False], False),
        (ROOK_AND_KNIGHT, 0, Value(-1, 204, 8), -1, "forced", 8 + LONGEST_DTM_PLIES[False], False),
        (ROOK_AND_KNIGHT, 0, Value(1, 205, TOO_LONG), 0, "fifty moves", None, True),
        (ROOK_AND_PAWN, 60, Value(1, 61, 9), 1, "forced", 9 + 500 + LONGEST_DTM_PLIES[False], False),
    ],
)
def test_what_the_clock_allows_is_exact_and_what_comes_after_a_capture_is_bounded(
    worth: Callable[[Value], Tables],
    fen: str,
    clock: int,
    value: Value,
    outcome: int,
    cause: str,
    plies: int | None,
    exact: bool,
) -> None:
    """A pawn on the third rank makes five moves at most, with at most a hundred plies to each (Laws, article 9.3)."""
    board = chess.Board(fen)
    board.halfmove_clock = clock
    verdict = judge(board, worth(value))
    assert (verdict.outcome, verdict.cause, verdict.mate_plies, verdict.exact) == (outcome, cause, plies, exact)


def test_no_layers_are_made_of_five_men(worth: Callable[[Value], Tables], monkeypatch: pytest.MonkeyPatch) -> None:
    tables = worth(Value(1, 61, 9))
    monkeypatch.setattr(tables, "codes", _refuse)
    board = chess.Board(ROOK_AND_KNIGHT)
    board.halfmove_clock = 90
    assert not judge(board, tables).exact


def _refuse(*asked: object) -> None:
    raise AssertionError("expected that no whole table is asked for")


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize(("clock", "count"), [(96, 5), (97, 20), (98, 100), (99, 400)])
def test_outcomes_agree_with_a_search_and_no_bound_is_too_low(
    five_men: Tables, five_ending: str, clock: int, count: int
) -> None:
    search, exact = ClockSearch(lambda board: _clocked(judge(board, five_men))), 0
    for board in random_positions(five_ending, count, seed=clock):
        board.halfmove_clock = clock
        found = judge(board, five_men)
        _agree(found.outcome, found.mate_plies, found.exact, search.value(board), board)
        exact += found.exact
        for item in ranked(board, five_men):
            after = board.copy(stack=False)
            after.push(item.move)
            value = _clocked(item.verdict) if after.halfmove_clock == 0 else search.value(after)
            plies = None if value.mate_plies is None else value.mate_plies + 1
            _agree(item.outcome, item.mate_plies, item.exact, Clocked(-value.outcome, plies), after)
    assert exact


def _clocked(verdict: Verdict) -> Clocked:
    return Clocked(verdict.outcome, verdict.mate_plies)


def _agree(outcome: int, mate_plies: int | None, exact: bool, expected: Clocked, board: chess.Board) -> None:
    assert outcome == expected.outcome, board.fen()
    if exact or mate_plies is None or expected.mate_plies is None:
        assert mate_plies == expected.mate_plies, board.fen()
    else:
        assert mate_plies >= expected.mate_plies, board.fen()


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
def test_with_any_clock_a_position_is_worth_its_best_move_and_no_win_comes_back(
    five_ending: str, five_men: Tables
) -> None:
    random, outcomes = Random(five_ending), Counter[int]()
    for board in random_positions(five_ending, 200, seed=3):
        before = None
        for clock in sorted(random.sample(range(100), 20)):
            board.halfmove_clock = clock
            found, moves = judge(board, five_men), ranked(board, five_men)
            outcomes[found.outcome] += 1
            assert before in (None, found.outcome) or found.outcome == 0, board.fen()
            before = found.outcome
            if not moves:
                continue
            assert found.outcome == moves[0].outcome, board.fen()
            if found.exact and moves[0].exact:
                assert found.mate_plies == moves[0].mate_plies, board.fen()
    assert min(outcomes[1], outcomes[0]) > 100


def test_a_win_that_no_clock_leaves_room_for_is_a_draw_for_whoever_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    board = chess.Board(ROOK_AND_KNIGHT)
    tables = TablesBehind(largest=5)
    stand, _ = tables.stand(board)
    monkeypatch.setattr(tables.successors, "code", lambda stand: code_of(81, True))
    monkeypatch.setattr(tables, "is_ready", lambda material: True)
    for leg, clock, outcome, plies in ((TOO_LONG, 0, 0, None), (100, 0, 1, 161), (100, 1, 0, None), (99, 1, 1, 161)):
        board.halfmove_clock = clock
        monkeypatch.setattr(tables, "_dtz_plies", lambda stand, outcome, leg=leg: leg)
        truth = TableTruth(Library(tables))
        assert (tables.code_in_time(stand, clock) == DRAW) == (outcome == 0)
        if not clock:
            assert tables.known(board) == (outcome, plies or 0)
        assert (truth.outcome(board), truth.mate_plies(board)) == (outcome, plies)


def test_a_quiet_move_that_leaves_a_leg_of_a_hundred_plies_does_not_win(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fifty moves by each side have been made when the next capture would come (Laws, article 9.3)."""
    board, tables = chess.Board(ROOK_AND_KNIGHT), Tables(largest=5)
    quiet = Step(0, 1, "", False, tables.stand(board)[0]._replace(white_to_move=False), False, code_of(81, True))
    steps = [quiet, quiet._replace(source=2, zeroing=True)]
    codes = [(step.source, step.target, step.promotion, step.code) for step in steps]
    monkeypatch.setattr(tables.successors, "codes", lambda stand, turned: codes)
    monkeypatch.setattr(tables, "steps", lambda stand, turned: steps)
    monkeypatch.setattr(tables, "_dtz_plies", lambda stand, outcome: 100)
    after = TableTruth(Library(tables)).after(board)
    assert [worth.outcome for worth in after.values()] == [0, -1]
