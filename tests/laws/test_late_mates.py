"""Where the clock rules out the shortest mate, an exact number that has been announced is kept."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from random import Random

import chess
import numpy as np

from matebot.facts.making import FactMaker
from matebot.method.library import Library
from matebot.play.judged import Judged
from matebot.play.ranking import ranked
from matebot.solver.clocked import LONGEST_DTM_PLIES
from matebot.solver.codes import DRAW, ILLEGAL
from matebot.solver.material import COVERED
from matebot.solver.tables import Tables
from matebot.terms import CLAIM_PLIES
from tests.counting import counts, every_day
from tests.witness.positions import random_positions


def late_positions(tables: Tables, ending: str) -> Iterator[chess.Board]:
    """Yield won positions with a clock that allows the win but not the shortest mate."""
    random = Random(ending)
    for board in random_positions(ending, 10_000, seed=3):
        value = tables.value(board)
        if value.outcome == 1 and value.dtz_plies is not None and value.dtz_plies + 2 < (value.dtm_plies or 0):
            board.halfmove_clock = CLAIM_PLIES - random.randrange(value.dtz_plies, value.dtm_plies or 0)
            yield board


@counts(1, 2)
@every_day(("KRKP", "KPK", "KRKN"), ("KQKR", "KQKP", "KBPK"))
def test_best_play_mates_in_the_number_announced(tables: Tables, ending: str, count: int) -> None:
    boards = list(islice(late_positions(tables, ending), count))
    assert len(boards) == count
    for board in boards:
        announced: int | None = None
        while moves := ranked(board, tables):
            best = moves[0]
            if announced is not None:
                assert (best.exact, best.mate_plies) == (True, announced), board.fen()
            assert best.exact
            assert best.mate_plies is not None
            announced = best.mate_plies - 1
            board.push(best.move)
        assert board.is_checkmate()


def test_what_a_move_costs_near_the_hundredth_ply_is_told_exactly(tables: Tables) -> None:
    """Mate in 13; the king's move leaves mate in 16 from after it. Found by a search of all positions and clocks."""
    board = chess.Board("2Q5/6r1/8/8/8/6K1/8/1k6 w - - 81 1")
    moves = {board.san(item.move): item for item in ranked(board, tables)}
    assert all(item.exact for item in moves.values())
    assert {item.cause for item in moves.values() if item.outcome} == {"forced"}
    best = min(item.mate_plies or 0 for item in moves.values() if item.outcome == 1)
    kept = moves["Kh2"].mate_plies or 0
    assert ((best + 1) // 2, (kept + 1) // 2) == (13, 17)
    maker = FactMaker(Judged.of(Library(tables), board))
    facts = maker.facts(moves["Kh2"].move)
    assert (facts.cost.moves_lost, facts.worth.exact, facts.worth.ranked_exactly) == (4, True, True)


def test_no_mate_takes_longer_than_is_told(tables: Tables) -> None:
    """Of every position of every ending, either side winning, either side to move: exactly these distances."""
    longest = {True: 0, False: 0}
    for material in COVERED:
        for white_to_move in (True, False):
            codes = tables.codes(material, white_to_move)
            # Bytes go round: less a draw's code, the wins of White stand above all others, and Black's below.
            by_white = int((codes - np.uint8(DRAW)).max()) + DRAW - 256
            by_black = ILLEGAL - 1 - (int((codes - np.uint8(DRAW + 1)).min()) + DRAW + 1)
            for white_wins, moves in ((True, by_white), (False, by_black)):
                winner_to_move = white_wins == white_to_move
                longest[winner_to_move] = max(longest[winner_to_move], 2 * moves - winner_to_move)
    assert longest == LONGEST_DTM_PLIES


def test_a_bound_is_that_of_a_mate_by_the_side_that_wins(tables: Tables) -> None:
    """Where there is no time to look, the number told is no less than the true one and of its parity."""
    seen = 0
    for ending in ("KQKR", "KRKP"):
        for board in islice(late_positions(tables, ending), 5):
            exact = {item.move: item for item in ranked(board, tables)}
            before, tables.stopped = tables.stopped, always
            try:
                bounds = ranked(board, tables)
            finally:
                tables.stopped = before
            for item in bounds:
                if item.exact:
                    continue
                assert item.mate_plies is not None
                truth = exact[item.move].mate_plies
                assert truth is not None
                assert truth <= item.mate_plies, board.fen()
                assert (item.mate_plies % 2 == 1) == (item.outcome == 1), board.fen()
                seen += 1
    assert seen > 6


def always() -> bool:
    return True
