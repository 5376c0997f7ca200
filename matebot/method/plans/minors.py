"""Two minor pieces: bishop and knight, two bishops."""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import along_the_edge, central_king, everywhere
from matebot.method.squares import corner_depth, from_edge, right_corners
from matebot.method.zones import Zones
from matebot.solver.geometry import Words

#: A king locked behind this diagonal from the right corner (a4-e8, say) is in the mating triangle.
MATING_DIAGONAL = 4
SMALL_DIAGONAL = 2
LARGE_DIAGONAL = 6


def behind_diagonal(bishop: int, king: int) -> int:
    """Return on which diagonal from the nearest right corner a king stands: 0 the corner itself."""
    return min(corner_depth(king, corner) for corner in right_corners(bishop))


def _triangle(diagonal: int) -> Callable[[Zones], Words]:
    def zone(zones: Zones) -> Words:
        inside = zones.black_king_by_man(0, lambda bishop, king: behind_diagonal(bishop, king) <= diagonal)
        return zones.everywhere & inside

    return zone


def _central_king_minors_off_the_rim(zones: Zones) -> Words:
    off_rim = zones.man(0, lambda s: from_edge(s) >= 1) & zones.man(1, lambda s: from_edge(s) >= 1)
    return central_king(zones) & off_rim


KBNK_EDGE = Plan(
    "edge and corner",
    "KBNK",
    (
        Stage(
            "gather in the centre",
            "bring king, bishop and knight together in the middle of the board",
            "a bishop or knight left on the rim takes no squares from the king and may be attacked",
            everywhere,
        ),
        Stage(
            "drive the king to the edge",
            "take the central squares with the king in the middle until the other king must step to the edge",
            "checks that only chase the king let it slip back between the pieces",
            _central_king_minors_off_the_rim,
        ),
        Stage(
            "from the wrong corner to the right one",
            "lead the king along the edge to a corner of the bishop's colour",
            "the king runs out to the second rank from the edge; bishop and knight must catch it, not checks",
            along_the_edge,
        ),
        Stage(
            "mate in the right corner",
            "keep the king inside the corner triangle, bring the king close and mate with bishop and knight",
            "without a waiting move of the bishop at the right moment the king is stalemated",
            _triangle(MATING_DIAGONAL),
        ),
    ),
)

KBNK_TRIANGLES = Plan(
    "shrinking triangles",
    "KBNK",
    (
        Stage(
            "shut it behind the long diagonal",
            "confine the king to the large triangle of a corner of the bishop's colour",
            "the diagonal alone is no wall: knight and king must close the squares of the other colour",
            everywhere,
        ),
        Stage(
            "shrink to the middle triangle",
            "move the wall two diagonals nearer to the corner",
            "a bishop that leaves its diagonal too early opens the triangle again",
            _triangle(LARGE_DIAGONAL),
        ),
        Stage(
            "shrink to the small triangle",
            "leave the king only the six squares next to the corner",
            "a knight far from the king's side leaves a hole in the wall",
            _triangle(MATING_DIAGONAL),
        ),
        Stage(
            "mate in the small triangle",
            "take the last squares and mate in the corner",
            "check that every move but the last leaves the king a square to go to",
            _triangle(SMALL_DIAGONAL),
        ),
    ),
)

KBBK = Plan(
    "wall and corner",
    "KBBK",
    (
        Stage(
            "gather in the centre",
            "bring the king to the middle with both bishops beside it",
            "a bishop next to the other king without protection is lost, and with it the win",
            everywhere,
        ),
        Stage(
            "drive the king to the edge",
            "use bishops on neighbouring diagonals as a wall and push it with the king",
            "bishops apart from each other leave a gap in the wall",
            central_king,
        ),
        Stage(
            "along the edge to a corner",
            "take the edge squares one after another until the king is in the corner",
            "the attacking king must stay near: the bishops alone cannot hold the edge",
            lambda zones: zones.black_king(lambda s: from_edge(s) <= 1),
        ),
        Stage(
            "mate in the corner",
            "bring the king a knight's move from the corner and mate with two checks",
            "a bishop that takes the last square without check is stalemate",
            lambda zones: zones.black_king(
                lambda s: min(corner_depth(s, corner) for corner in (0, 7, 56, 63)) <= SMALL_DIAGONAL
            ),
        ),
    ),
)

LADDERS = (KBNK_EDGE, KBNK_TRIANGLES, KBBK)
