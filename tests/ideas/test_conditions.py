"""The conditions of a stage are the zone in which its ladder plays it."""

from __future__ import annotations

from random import Random

import chess
import numpy as np
import pytest

from matebot.ideas.conditions import changed, holds, ticked
from matebot.method.condition import Condition
from matebot.method.plan import Plan
from matebot.method.plans import ALL_PLANS
from matebot.method.zones import Zones
from matebot.solver.material import Material
from matebot.solver.placement import Placement

EVERY_PLAN = [plan for plans in ALL_PLANS.values() for plan in plans]
_BY_DEFAULT, _MANY = 250, 40_000


def boards_of(placement: Placement, count: int, seed: int) -> list[tuple[chess.Board, tuple[int, ...], int]]:
    """Return boards of an ending at random, with the index of each in a set and the black king's square."""
    random = Random(f"conditions {placement.material.name} {seed}")
    found: list[tuple[chess.Board, tuple[int, ...], int]] = []
    while len(found) < count:
        index = tuple(random.randrange(size) for size in placement.shape)
        squares = [int(at[i]) for at, i in zip(placement.at, index, strict=True)]
        black = random.randrange(64)
        if len({*squares, black}) == len(squares) + 1 and chess.square_distance(squares[-1], black) > 1:
            board = chess.Board(None)
            for (man, white), square in zip(placement.men, squares, strict=False):
                board.set_piece_at(square, chess.Piece(chess.PIECE_SYMBOLS.index(man.lower()), white))
            board.set_piece_at(squares[-1], chess.Piece(chess.KING, chess.WHITE))
            board.set_piece_at(black, chess.Piece(chess.KING, chess.BLACK))
            found.append((board, index, black))
    return found


def check_zones(plan: Plan, count: int, seed: int) -> None:
    count *= 3 if plan.ranks else 1  # its zones are small
    placement = Placement(Material.parse(plan.ending, largest=5), ranks=plan.pawn_ranks)
    on_board = Zones(placement)
    zones = [np.broadcast_to(stage.zone(on_board), placement.shape) for stage in plan.stages]
    inside = [0] * len(zones)
    for board, index, black in boards_of(placement, count, seed):
        for number, zone in enumerate(zones):
            expected = bool(int(zone[index]) >> black & 1)
            conditions = plan.stages[number].conditions
            for seen_on, attacker in ((board, chess.WHITE), (board.mirror(), chess.BLACK)):
                found = all(holds(condition, seen_on, attacker) for condition in conditions)
                assert found == expected, f"{plan.name} {number} {board.fen()}"
            inside[number] += expected
    assert all(inside)
    assert all(0 < hits < count for hits, stage in zip(inside, plan.stages, strict=True) if stage.conditions)


@pytest.mark.parametrize("plan", EVERY_PLAN, ids=lambda plan: plan.name)
def test_the_zone_of_a_stage_is_all_its_conditions_together(plan: Plan) -> None:
    check_zones(plan, _BY_DEFAULT, seed=1)


@pytest.mark.exhaustive
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("plan", EVERY_PLAN, ids=lambda plan: plan.name)
def test_the_zone_of_a_stage_is_all_its_conditions_together_on_many_boards(plan: Plan) -> None:
    check_zones(plan, _MANY, seed=2)


def test_every_condition_is_used_by_a_stage() -> None:
    stages = [stage for plan in EVERY_PLAN for stage in plan.stages]
    used = {condition for stage in stages for condition in (*stage.conditions, *stage.marks)}
    assert used == set(Condition)


@pytest.mark.parametrize(
    ("fen", "condition", "expected"),
    [
        # The W stands ready: the bishop on h7 is on the rim, and well placed.
        ("4k3/5N1B/5K2/8/8/8/8/8", Condition.BISHOP_OFF_RIM, False),
        ("4k3/5N1B/5K2/8/8/8/8/8", Condition.BISHOP_WELL_PLACED, True),
        ("4k3/5N1B/5K2/8/8/8/8/8", Condition.KNIGHT_AT_W, True),
        ("4k3/5N1B/5K2/8/8/8/8/8", Condition.KING_AT_W, True),
        ("8/5N1B/5K2/8/4k3/8/8/8", Condition.BISHOP_WELL_PLACED, False),
        ("8/1k1N4/4K3/8/8/3B4/8/8", Condition.CAGE_SHUT, True),
        ("8/1k1N3B/4K3/8/8/8/8/8", Condition.CAGE_SHUT, False),
        # The pawn on e5: d6, e6, f6 and d7, e7, f7 are its key squares (common practice, no source).
        ("8/8/3K4/4P3/8/8/k7/8", Condition.KING_ON_KEY_SQUARE, True),
        ("8/8/8/3KP3/8/8/k7/8", Condition.KING_ON_KEY_SQUARE, True),
        ("8/8/8/3KP3/8/8/8/k7", Condition.KING_ON_KEY_SQUARE, True),
        ("8/8/8/3KP3/8/8/8/7k", Condition.KING_ON_KEY_SQUARE, True),
        ("7k/8/8/8/8/4P3/4K3/8", Condition.KING_ON_KEY_SQUARE, False),
        ("8/8/8/8/8/2k5/P7/7K", Condition.OUTSIDE_SQUARE, False),
        ("8/8/P7/8/8/8/4k3/7K", Condition.OUTSIDE_SQUARE, True),
        ("8/P7/8/8/8/8/4k3/7K", Condition.PAWN_ON_SEVENTH, True),
        ("8/8/2k5/8/2K5/8/7R/8", Condition.OPPOSITION, True),
        ("2k5/8/2K5/8/8/8/8/7R", Condition.KING_AT_HAND, True),
        ("8/8/2k5/R7/2K5/8/8/8", Condition.CUT_OFF, True),
        ("8/8/8/8/2k5/2R5/8/7K", Condition.MEN_SAFE, False),
        ("8/8/8/3BB3/8/8/7k/1K6", Condition.BISHOPS_ABREAST, True),
        ("k7/2K5/8/8/8/8/8/3BB3", Condition.KING_AT_CORNER, True),
        # Free beside the queen; held by a pin, a man before it, from behind, by the square before it, a king before it.
        ("8/8/8/8/8/1k6/3p3Q/7K", Condition.PAWN_HELD, False),
        ("8/8/8/8/8/8/2kp3Q/7K", Condition.PAWN_HELD, True),
        ("8/8/8/8/8/1k6/3p4/3Q3K", Condition.PAWN_HELD, True),
        ("3Q4/8/8/8/8/1k6/3p4/7K", Condition.PAWN_HELD, True),
        ("8/8/8/8/1k4Q1/8/3p4/7K", Condition.PAWN_HELD, True),
        ("8/8/8/Q7/8/8/3p4/3k3K", Condition.PAWN_HELD, True),
        ("8/8/8/Q7/8/8/3p4/3k3K", Condition.DEFENDER_BEFORE_PAWN, True),
        ("8/8/8/8/8/1k6/3p4/Q6K", Condition.KING_NEAR_PROMOTION_SQUARE, True),
        ("8/8/8/8/8/1k6/3p4/Q6K", Condition.KING_AT_PROMOTION_SQUARE, False),
        ("8/8/8/8/8/3KQ3/4p3/5k2", Condition.PAWN_FALLS, True),
        ("8/8/8/8/8/4Q3/4p3/3K1k2", Condition.PAWN_FALLS, True),
        ("8/8/3K4/8/8/4Q3/4p3/5k2", Condition.PAWN_FALLS, False),
        # The rook on the fifth rank lies between king and pawn; on the sixth the king is past it.
        ("8/8/4k3/R7/3p4/8/8/6K1", Condition.CUT_FROM_PAWN, True),
        ("8/8/4k3/R7/3p4/8/8/6K1", Condition.KING_IN_SQUARE, True),
        ("8/8/8/R7/3pk3/8/8/6K1", Condition.CUT_FROM_PAWN, False),
        ("8/8/4k3/R7/3p4/8/8/6K1", Condition.KING_BY_PAWN, False),
        ("k6Q/7r/2K5/8/8/8/8/8", Condition.FORKED, True),
        ("k6Q/7r/2K5/8/8/8/8/8", Condition.MAN_AWAY, True),
        ("1k6/1r6/2K5/Q7/8/8/8/8", Condition.MAN_AWAY, False),
        # The king before its pawn and the other cut off, then the same with the rook on the fourth rank, then out.
        ("3K4/3P2k1/8/8/8/8/2r5/5R2", Condition.KING_BEFORE_PAWN, True),
        ("3K4/3P2k1/8/8/8/8/2r5/5R2", Condition.CUT_BY_FILE, True),
        ("3K4/3P1k2/8/8/8/8/2r5/5R2", Condition.CUT_BY_FILE, False),
        ("3K4/3P2k1/8/8/8/8/2r5/5R2", Condition.ROOK_READY, False),
        ("3K4/3P2k1/8/8/5R2/8/2r5/8", Condition.ROOK_READY, True),
        ("3K4/3P2k1/8/8/5R2/8/2r5/8", Condition.KING_OUT, False),
        ("8/3PK1k1/8/8/5R2/8/2r5/8", Condition.KING_OUT, True),
        ("5R2/3PK3/8/6k1/8/8/2r5/8", Condition.KING_OUT, True),
        ("5R2/3PK3/8/6k1/8/8/2r5/8", Condition.ROOK_READY, False),
        ("5R2/3PK3/8/6k1/8/8/2r5/8", Condition.ROOK_HELPS, True),
        ("8/3P2k1/4K3/8/5R2/8/8/4r3", Condition.KING_DOWN, True),
        ("8/3P2k1/8/3K4/5R2/8/8/3r4", Condition.BRIDGE_BUILT, False),
        ("8/3P2k1/8/3K4/3R4/8/8/3r4", Condition.BRIDGE_BUILT, True),
        ("8/3P2k1/8/2K5/2R5/8/8/2r5", Condition.ROOK_BRIDGES, True),
    ],
)
def test_conditions_by_hand(fen: str, condition: Condition, expected: bool) -> None:
    board = chess.Board(f"{fen} w - - 0 1")
    assert holds(condition, board, chess.WHITE) == expected
    assert holds(condition, board.mirror(), chess.BLACK) == expected


def test_a_move_fulfils_conditions_and_breaks_others() -> None:
    before = chess.Board("8/1k1N3B/4K3/8/8/8/8/8 w - - 0 1")
    after = before.copy()
    after.push_san("Bd3")
    stages = ALL_PLANS["KBNK"][0].stages
    assert changed(stages[2], before, after, chess.WHITE) == (
        (Condition.CAGE_SHUT,),
        (Condition.BISHOP_AT_W,),
    )
    assert ticked(stages[3], after, chess.WHITE)[Condition.CAGE_SHUT]
