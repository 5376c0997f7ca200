"""The ladders in the trade's words, a file a family; White is the stronger side.

The zones are chosen so that a pupil sees on the board which stage it is; that each ladder covers every won position,
and how long it lasts at most, is computed (`ladder`, `proof`). A new family is a file with its `LADDERS`, and a line
here.
"""

from __future__ import annotations

from collections.abc import Iterable

from matebot.method.ladder import Plan
from matebot.method.plans import (
    against_a_man,
    bridge,
    lone_pawn,
    lone_piece,
    minors,
    pawn_and_minor,
    queen_and_minor,
    staircase,
)

FAMILIES = (
    minors,
    lone_piece,
    lone_pawn,
    staircase,
    queen_and_minor,
    pawn_and_minor,
    against_a_man,
)


def _by_ending(ladders: Iterable[Plan]) -> dict[str, tuple[Plan, ...]]:
    found: dict[str, tuple[Plan, ...]] = {}
    for plan in ladders:
        found[plan.ending] = (*found.get(plan.ending, ()), plan)
    return found


#: Every plan of up to four men, by ending; the first is the one the engine follows.
PLANS = _by_ending(plan for family in FAMILIES for plan in family.LADDERS)
#: Those of five men, for positions of whose ending and ladder there are files.
LARGE_PLANS = _by_ending(bridge.LADDERS)
ALL_PLANS = PLANS | LARGE_PLANS
