"""Outcomes and moves under the fifty-move rule agree with a plain search over (position, clock)."""

from __future__ import annotations

import chess
import pytest

from matebot.laws.referee import judge
from matebot.play.ranking import ranked
from matebot.solver.tables import Tables
from tests.witness.clock_search import Clocked, ClockSearch
from tests.witness.positions import random_positions


def beyond(tables: Tables) -> ClockSearch:
    """Return a search that takes the plain value where a capture or pawn move has just set the clock to zero.

    With the clock at zero every win of the covered endings is in time, and no shortest mate is longer than 85 plies.
    """

    def value(board: chess.Board) -> Clocked:
        found = tables.value(board)
        return Clocked(found.outcome, found.dtm_plies)

    return ClockSearch(value)


#: Ending, clock, number of positions. The higher the clock, the more the search can do; for the others see
#: `test_every_clock`.
ENDINGS = ("KBNK", "KRK", "KPK", "KQKR", "KPKP", "KRKN", "KQRK")
DAILY = ("KBNK", "KPK", "KQKR", "KPKP", "KRKN")
CASES = [(ending, *case) for ending in DAILY for case in ((97, 1), (98, 6), (99, 16))] + [("KBNK", 95, 1)]
MORE_CASES = [(ending, *case) for ending in ENDINGS for case in ((97, 8), (98, 40), (99, 80))] + [("KBNK", 95, 4)]


@pytest.mark.parametrize(("ending", "clock", "count"), CASES)
def test_outcome_and_mate_agree_with_the_search(tables: Tables, ending: str, clock: int, count: int) -> None:
    _agrees(tables, ending, clock, count)


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize(("ending", "clock", "count"), MORE_CASES)
def test_outcome_and_mate_of_more_positions_agree_with_the_search(
    tables: Tables, ending: str, clock: int, count: int
) -> None:
    _agrees(tables, ending, clock, count)


def _agrees(tables: Tables, ending: str, clock: int, count: int) -> None:
    search = beyond(tables)
    for board in random_positions(ending, count, seed=clock):
        board.halfmove_clock = clock
        expected = search.value(board)
        found = judge(board, tables)
        assert found.outcome == expected.outcome, board.fen()
        assert (found.exact, found.mate_plies) == (True, expected.mate_plies), board.fen()
        _moves_agree(tables, search, board)


def _moves_agree(tables: Tables, search: ClockSearch, board: chess.Board) -> None:
    """Every move's outcome and mate are the search's, so the first one is the best."""
    for item in ranked(board, tables):
        after = board.copy(stack=False)
        after.push(item.move)
        zeroing = not after.halfmove_clock
        value = tables.value(after)
        expected = Clocked(value.outcome, value.dtm_plies) if zeroing else search.value(after)
        assert item.outcome == -expected.outcome, f"{board.fen()} {item.move}"
        assert item.exact, f"{board.fen()} {item.move}"
        if expected.mate_plies is not None:
            assert item.mate_plies == 1 + expected.mate_plies, f"{board.fen()} {item.move}"


@pytest.mark.parametrize(
    ("fen", "outcome", "cause"),
    [
        ("7k/8/5K2/8/8/8/8/R7 w - - 99 80", 0, "fifty moves"),
        ("7k/8/6K1/8/8/8/8/R7 w - - 99 80", 1, "forced"),
        ("7k/8/6K1/8/8/8/8/R7 w - - 100 80", 0, "fifty moves"),
        ("R6k/8/6K1/8/8/8/8/8 b - - 100 80", -1, "checkmate"),
        ("7k/5Q2/8/6K1/8/8/8/8 b - - 0 80", 0, "stalemate"),
        ("7k/8/6K1/8/8/8/8/1B6 w - - 0 80", 0, "dead position"),
        ("7k/8/6K1/8/8/8/8/8 w - - 0 80", 0, "dead position"),
        ("7k/8/6K1/8/3b4/8/8/2B5 w - - 0 80", 0, "dead position"),
        ("7k/8/6K1/8/3n4/8/8/2B5 w - - 0 80", 0, "balance"),
    ],
)
def test_the_articles_of_the_laws(tables: Tables, fen: str, outcome: int, cause: str) -> None:
    """Source: FIDE Laws of Chess, articles 5.1, 5.2, 9.3 and 9.6.2."""
    verdict = judge(chess.Board(fen), tables)
    assert (verdict.outcome, verdict.cause) == (outcome, cause)


def test_an_attacker_whose_mate_is_too_late_takes_the_way_that_is_in_time(tables: Tables) -> None:
    """A pawn move in time keeps the win; the shortest mate without one would come too late."""
    found = 0
    for board in random_positions("KPK", 3_000, seed=5):
        value = tables.value(board)
        if value.outcome != 1 or value.dtm_plies is None or value.dtz_plies is None:
            continue
        if value.dtz_plies < value.dtm_plies:
            board.halfmove_clock = 100 - value.dtz_plies
            best = ranked(board, tables)[0]
            assert best.outcome == 1
            found += 1
        if found == 40:
            break
    assert found == 40
