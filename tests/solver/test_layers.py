"""The layers of mates in time agree with the moves of single positions, and with each other.

Each layer is held against the one before it by another generator of moves; the first holds mates only.
"""

from __future__ import annotations

from random import Random

import chess
import numpy as np
import pytest

from matebot.solver.codes import NOWHERE, white_wins
from matebot.solver.layers import Chain
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.tables import Tables
from tests.counting import every_day
from tests.witness.positions import random_positions

MOST_LEFT = 24


def distance(tables: Tables, chain: Chain, stand: CanonicalPosition, left: int) -> int:
    """Return the plies to mate in time by the moves of a position and the layer before its own."""
    worth = []
    for step in tables.steps(stand):
        if step.zeroing:
            won = step.mate_plies is not None and white_wins(step.code) == chain.ground.winner
            worth.append(step.mate_plies if won and step.mate_plies is not None else NOWHERE)
        else:
            worth.append(int(chain.distances(chain.batches.of([step.child]), left - 1)[0]))
    if not worth:
        return 0 if tables.value_of(stand).dtm_plies == 0 else NOWHERE
    best = (min if chain.winner_moves(left) else max)(worth)
    return best if best == NOWHERE else best + 1


ENDINGS = ("KQKR", "KRKN", "KRKB", "KQKQ", "KQKP", "KBPK", "KPKP", "KRKP", "KPK", "KRK")


@every_day(("KQKR", "KRKN", "KQKP", "KPK", "KRK"), ("KRKB", "KQKQ", "KBPK", "KPKP", "KRKP"))
def test_every_layer_follows_from_the_one_before(tables: Tables, ending: str) -> None:
    """Every ending with pawns, and nearly every position, has layers of its own, so a few must do."""
    assert _late(tables, ending, 8) or ending == "KRK"


@pytest.mark.exhaustive
@pytest.mark.timeout(0)
@pytest.mark.parametrize("ending", ENDINGS)
def test_every_layer_of_more_positions_follows_from_the_one_before(tables: Tables, ending: str) -> None:
    assert _late(tables, ending, 60) > 3 or ending == "KRK"


def _late(tables: Tables, ending: str, count: int) -> int:
    """Hold positions against the layer before, and return how many are mated later than without a clock."""
    random, ways, late = Random(ending), tables.ways, 0
    for board in random_positions(ending, count, seed=17):
        stand, value = tables.stand(board)[0], tables.value(board)
        if not value.outcome or stand.passed is not None:
            continue
        winner = (value.outcome == 1) == stand.white_to_move
        plies = min(value.dtm_plies or 0, MOST_LEFT)
        left = random.randint(min(value.dtz_plies or 0, plies), plies)
        chain = ways.chain(stand, winner, max(left, 1))
        found = int(chain.distances(chain.batches.of([stand]), left)[0])
        assert left == 0 or found == distance(tables, chain, stand, left), f"{board.fen()} {left}"
        assert (found == NOWHERE) == ((value.dtz_plies or 0) > left), f"{board.fen()} {left}"
        late += left < found < NOWHERE
    return late


def test_with_no_ply_left_only_mates_stand(tables: Tables) -> None:
    mates = [chess.Board(f"{placed} b - - 0 1") for placed in ("k7/1Q6/1K6/8/8/8/8/7r", "3k3Q/8/3K4/8/8/r7/8/8")]
    for board in (*mates, *random_positions("KQKR", 400, seed=3)):
        stand, value = tables.stand(board)[0], tables.value(board)
        assert value.dtm_plies == 0 or board not in mates
        if value.outcome == -1:
            chain = tables.ways.chain(stand, not stand.white_to_move, 0)
            found = int(chain.distances(chain.batches.of([stand]), 0)[0])
            assert found == (0 if value.dtm_plies == 0 else NOWHERE)


def test_whole_batches_read_as_single_positions_do(tables: Tables) -> None:
    stands = [tables.stand(board)[0] for board in random_positions("KQKR", 600, seed=5)]
    stands = [stand for stand in stands if stand.white_to_move]
    chain = tables.ways.chain(stands[0], True, 12)
    together = chain.distances(chain.batches.of(stands), 12)
    alone = [int(chain.distances(chain.batches.of([stand]), 12)[0]) for stand in stands]
    assert np.array_equal(together, alone)
    assert len({*alone}) > 8
