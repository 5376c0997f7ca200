"""A lone rook, a lone queen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage
from matebot.method.plans.shared import edge_held, everywhere, king_at_hand, on_the_edge
from matebot.method.squares import box_squares

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

#: Box sizes at which the rook's work changes.
CUT_OFF_SQUARES = 28
SMALL_BOX_SQUARES = 8


def _box(squares: int) -> Callable[[Zones], Words]:
    def zone(zones: Zones) -> Words:
        return zones.everywhere & zones.black_king_by_man(0, lambda man, king: box_squares(man, king) <= squares)

    return zone


KRK = Plan(
    "box",
    "KRK",
    (
        Stage(
            "cut the king off",
            "place the rook so that its rank and file leave the king a box of at most 28 squares",
            "a rook next to the king and unprotected is lost",
            everywhere,
            marks=(_C.MEN_SAFE, _C.CUT_OFF),
        ),
        Stage(
            "shrink the box",
            "make the box smaller with rook and king, never larger",
            "a check that only lets the king over the line gives the box away",
            _box(CUT_OFF_SQUARES),
            conditions=(_C.BOX_OF_28,),
            marks=(_C.MEN_SAFE, _C.CUT_OFF),
        ),
        Stage(
            "push it to the edge",
            "use opposition or a waiting move of the rook to force the king to the edge",
            "with the king in the corner of a small box a careless rook move is stalemate",
            _box(SMALL_BOX_SQUARES),
            conditions=(_C.BOX_OF_8,),
            marks=(_C.OPPOSITION, _C.CUT_OFF),
        ),
        Stage(
            "mate on the edge",
            "keep the king on the edge, take the opposition and mate with the rook along the edge",
            "the rook's waiting move must keep the king cut off",
            on_the_edge,
            conditions=(_C.DEFENDER_ON_EDGE,),
            marks=(_C.OPPOSITION, _C.KING_AT_HAND),
        ),
    ),
    heading="Mate with the rook",
    job="Cut the king off, make its box smaller with rook and king together, mate it on the edge.",
    why="On the edge a king has five squares beside it instead of eight: king and rook can take them all.",
    place=70,
    in_course=True,
    figures=Figures((11, 17, 10, 12), 20, 10.4105, 16, 9.8648, 175_168),
)

KQK = Plan(
    "edge",
    "KQK",
    (
        Stage(
            "confine the king to the edge",
            "shut the king on the edge with the queen on the neighbouring rank or file",
            "a queen a knight's move from a king in the corner is stalemate when no king helps",
            everywhere,
            marks=(_C.MEN_SAFE,),
        ),
        Stage(
            "bring the king",
            "leave the queen where she holds the edge and walk the king up",
            "the other king must keep a square to move to until the king has arrived",
            lambda zones: edge_held(zones, 0),
            conditions=(_C.DEFENDER_ON_EDGE, _C.EDGE_HELD),
            marks=(_C.MEN_SAFE,),
            by_king=True,
        ),
        Stage(
            "mate",
            "with the king at hand, mate with the queen protected in front of the king or along the edge",
            "every queen move that is not check must leave the king a square",
            king_at_hand,
            conditions=(_C.DEFENDER_ON_EDGE, _C.KING_AT_HAND),
            marks=(_C.MEN_SAFE,),
        ),
    ),
    heading="Mate with the queen",
    job="Shut the king in on the edge with the queen alone, walk the king up, mate.",
    why="On the edge a king has five squares beside it instead of eight; a queen that takes all without check is "
    "stalemate.",
    place=40,
    in_course=True,
    figures=Figures((9, 6, 4), 10, 5.6167, 10, 5.6167, 144_508),
)

LADDERS = (KRK, KQK)
