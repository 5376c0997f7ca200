"""What repeated positions change, position by position: it agrees with the moves of each, and with the clock's layers.

The fast way follows whole arrays of positions back; here single positions are held against those one move later.
"""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from matebot.solver.codes import white_wins
from matebot.solver.late_changes import LateChanges
from matebot.solver.layers import Chain
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.repetition import NEVER, Changes, _Now
from matebot.solver.successors import Step
from matebot.solver.tables import Tables
from tests.witness.positions import random_positions

SIDES = (True, False)


def test_what_was_written_last_is_read() -> None:
    """Held against a dictionary."""
    random, now, expected = Random(3), _Now(), dict[tuple[int, bool], int]()
    for _ in range(12):
        side = random.choice(SIDES)
        numbers = random.sample(range(40), random.randrange(1, 9))
        distances = [random.randrange(256) for _ in numbers]
        now.write(np.array(numbers), side, np.array(distances, np.int16))
        expected |= {(number, side): distance for number, distance in zip(numbers, distances, strict=True)}
        for of in SIDES:
            plain = np.arange(40, dtype=np.int16)
            found = now.read(np.arange(40), of, plain)
            assert found.tolist() == [expected.get((number, of), number) for number in range(40)]
            assert plain.tolist() == list(range(40))
            assert now.changed(of).tolist() == sorted(number for number, where in expected if where == of)
    assert now.all() == {2 * number + side: distance for (number, side), distance in expected.items()}


def around(
    tables: Tables, ending: str, count: int, seed: int
) -> tuple[set[CanonicalPosition], list[CanonicalPosition]]:
    """Return some decided positions of an ending, and all that come up to two moves after those they come from."""
    random, banned, near = Random(seed), set[CanonicalPosition](), set[CanonicalPosition]()
    for board in random_positions(ending, 40 * count, seed):
        quiet = [move for move in board.legal_moves if not board.is_zeroing(move)]
        if not quiet or not tables.value(board).outcome or len(banned) >= count:
            continue
        stand = tables.stand(board)[0]
        steps = [step for step in tables.steps(stand) if not step.zeroing]
        banned.add((steps[0] if random.random() < 0.3 else min(steps, key=lambda step: plain(step, True))).child)
        near |= {stand, *(step.child for step in steps)}
        for step in steps[::2]:
            near |= {after.child for after in tables.steps(step.child) if not after.zeroing}
    return banned, sorted(near)


def best(found: list[int], attacks: bool) -> int:
    """Return the plies to mate of a position by those after its moves, one ply each."""
    worth = min(found) if attacks else max(found)
    return worth if worth == NEVER else worth + 1


def plain(step: Step, winner: bool) -> int:
    """Return the plies to mate after a move while nothing is banned."""
    return NEVER if step.mate_plies is None or white_wins(step.code) != winner else step.mate_plies


@pytest.mark.parametrize("ending", ["KRK", "KBNK", "KQKR"])
def test_distances_agree_with_those_one_move_later(tables: Tables, ending: str) -> None:
    changed = 0
    for seed in range(2):
        banned, near = around(tables, ending, 5, seed)
        material = next(iter(banned)).material
        assert material is not None
        changes = Changes(tables.ways.batches(material), banned, winner=True)
        assert changes.complete
        for stand in near:
            steps = tables.steps(stand)
            if not steps or stand.passed is not None:
                continue
            found = []
            for step in steps:
                told = None if step.zeroing else changes.plies(step.child)
                found.append(plain(step, True) if told is None else told)
            expected = best(found, stand.white_to_move)
            assert changes.mate_plies(stand, steps) == expected, stand
            value, told = tables.value_of(stand), changes.plies(stand)
            white_wins_here = value.outcome == (1 if stand.white_to_move else -1)
            was = value.dtm_plies if white_wins_here else None
            if stand in banned:
                assert told == NEVER
            elif was is not None:
                assert (was if told is None else told) == expected, stand
            changed += told not in (None, was, NEVER)
    assert changed > 3


def entered(late: LateChanges, chain: Chain, stand: CanonicalPosition, plies: int) -> int:
    """Return the plies to mate of a position once it is entered, with so many plies left."""
    if plies == 0:
        return int(chain.distances(chain.batches.of([stand]), 0)[0])
    found = late.mate_plies(stand, plies, lambda done: None)
    assert found is not None
    return found


@pytest.mark.parametrize("ending", ["KRKN"])
def test_distances_in_time_agree_with_those_one_ply_later(tables: Tables, ending: str) -> None:
    """The clock allows the win and not the shortest mate."""
    changed, held = 0, 0
    for board in random_positions(ending, 400, seed=11):
        stand, value = tables.stand(board)[0], tables.value(board)
        left, plies = value.dtz_plies or 0, value.dtm_plies or 0
        if value.outcome != 1 or not 3 <= left < plies - 1 or held == 3:
            continue
        held += 1
        steps = [step for step in tables.steps(stand) if not step.zeroing]
        chain = tables.ways.chain(stand, stand.white_to_move, left)
        ahead = [after.child for step in steps[:4] for after in tables.steps(step.child) if not after.zeroing][:3]
        children = [step.child for step in steps]
        distances = chain.distances(chain.batches.of(children), left - 1)
        nearest = np.flatnonzero(distances == distances.min()).tolist()
        banned = {*(children[number] for number in nearest), *ahead}
        late, beats = LateChanges(chain, banned), list[int]()
        late.mate_plies(stand, left, beats.append)
        assert len(beats) == left  # between the layers it may be stopped
        far = LateChanges(chain, {stand}, horizon=1)
        far.mate_plies(children[0], left - 1, beats.append)
        assert not any(len(numbers) for numbers, _ in far._changed)  # its mate is further off than the horizon
        for here, plies in ((stand, left), *((step.child, left - 1) for step in steps[:5])):
            moves = tables.steps(here)
            if not moves or plies < 2:
                continue
            found = []
            for step in moves:
                if step.zeroing:
                    found.append(plain(step, chain.ground.winner))
                else:
                    found.append(NEVER if step.child in banned else entered(late, chain, step.child, plies - 1))
            told = entered(late, chain, here, plies)
            assert told == best(found, chain.winner_moves(plies)), (here, plies)
            changed += told != int(chain.distances(chain.batches.of([here]), plies)[0])
    assert held == 3
    assert changed > 1
