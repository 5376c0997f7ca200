"""A lone rook, a lone queen."""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import edge_held, everywhere, king_at_hand, on_the_edge
from matebot.method.squares import box_squares
from matebot.method.zones import Zones
from matebot.solver.geometry import Words

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
        ),
        Stage(
            "shrink the box",
            "make the box smaller with rook and king, never larger",
            "a check that only lets the king over the line gives the box away",
            _box(CUT_OFF_SQUARES),
        ),
        Stage(
            "push it to the edge",
            "use opposition or a waiting move of the rook to force the king to the edge",
            "with the king in the corner of a small box a careless rook move is stalemate",
            _box(SMALL_BOX_SQUARES),
        ),
        Stage(
            "mate on the edge",
            "keep the king on the edge, take the opposition and mate with the rook along the edge",
            "the rook's waiting move must keep the king cut off",
            on_the_edge,
        ),
    ),
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
        ),
        Stage(
            "bring the king",
            "leave the queen where she holds the edge and walk the king up",
            "the other king must keep a square to move to until the king has arrived",
            lambda zones: edge_held(zones, 0),
        ),
        Stage(
            "mate",
            "with the king at hand, mate with the queen protected in front of the king or along the edge",
            "every queen move that is not check must leave the king a square",
            king_at_hand,
        ),
    ),
)

LADDERS = (KRK, KQK)
