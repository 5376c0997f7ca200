"""Two minor pieces: bishop and knight, two bishops."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage
from matebot.method.plans.shared import along_the_edge, central_king, everywhere
from matebot.method.squares import corner_depth, from_edge, right_corners

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

#: A king locked behind this diagonal from the right corner (a4-e8, say) is in the mating triangle.
MATING_DIAGONAL = 4
SMALL_DIAGONAL = 2
LARGE_DIAGONAL = 6
#: The W ready for the corner a8, the king driven from h8 to e8 (common practice, no source).
KNIGHTS_W = "4k3/5N1B/5K2/8/8/8/8/8 w - - 0 1"


@cache
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
            marks=(_C.KING_IN_CENTRE, _C.BISHOP_WELL_PLACED, _C.KNIGHT_OFF_RIM),
        ),
        Stage(
            "drive the king to the edge",
            "take the central squares with the king in the middle until the other king must step to the edge",
            "checks that only chase the king let it slip back between the pieces",
            _central_king_minors_off_the_rim,
            conditions=(_C.KING_IN_CENTRE, _C.BISHOP_OFF_RIM, _C.KNIGHT_OFF_RIM),
            marks=(_C.DEFENDER_ON_EDGE,),
        ),
        Stage(
            "from the wrong corner to the right one",
            "lead the king along the edge to a corner of the bishop's colour",
            "the king runs out to the second rank from the edge; bishop and knight must catch it, not checks",
            along_the_edge,
            conditions=(_C.DEFENDER_NEAR_EDGE, _C.KING_OFF_EDGE),
            marks=(_C.KING_AT_W, _C.BISHOP_AT_W, _C.KNIGHT_AT_W, _C.CAGE_SHUT),
        ),
        Stage(
            "mate in the right corner",
            "keep the king inside the corner triangle, bring the king close and mate with bishop and knight",
            "without a waiting move of the bishop at the right moment the king is stalemated",
            _triangle(MATING_DIAGONAL),
            conditions=(_C.IN_MATING_TRIANGLE,),
            marks=(_C.CAGE_SHUT, _C.KING_AT_CORNER),
        ),
    ),
    heading="Mate with bishop and knight",
    job="Gather in the centre, drive the king to the edge, lead it to a corner of the bishop's colour, mate there.",
    why="Only a corner of the bishop's colour will do: in the other one the bishop cannot attack the corner square, "
    "and no mate can be forced there.",
    place=140,
    in_course=True,
    figures=Figures((20, 15, 20, 22), 34, 25.2429, 33, 24.6792, 10_822_184),
    well_known=(KNIGHTS_W,),
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
            marks=(_C.KING_IN_CENTRE, _C.MEN_SAFE),
        ),
        Stage(
            "shrink to the middle triangle",
            "move the wall two diagonals nearer to the corner",
            "a bishop that leaves its diagonal too early opens the triangle again",
            _triangle(LARGE_DIAGONAL),
            conditions=(_C.IN_LARGE_TRIANGLE,),
            marks=(_C.CAGE_SHUT,),
        ),
        Stage(
            "shrink to the small triangle",
            "leave the king only the six squares next to the corner",
            "a knight far from the king's side leaves a hole in the wall",
            _triangle(MATING_DIAGONAL),
            conditions=(_C.IN_MATING_TRIANGLE,),
            marks=(_C.CAGE_SHUT,),
        ),
        Stage(
            "mate in the small triangle",
            "take the last squares and mate in the corner",
            "check that every move but the last leaves the king a square to go to",
            _triangle(SMALL_DIAGONAL),
            conditions=(_C.IN_SMALL_TRIANGLE,),
            marks=(_C.CAGE_SHUT, _C.KING_AT_CORNER),
        ),
    ),
    heading="Mate with bishop and knight",
    job="Shut the king in the large triangle of a corner of the bishop's colour, make it smaller twice, mate there.",
    why="Only a corner of the bishop's colour will do, and there each triangle ends at a diagonal of the bishop; "
    "knight and king shut the squares of the other colour.",
    place=145,
    figures=Figures((17, 19, 19, 13), 34, 25.0065, 33, 24.6792, 10_822_184),
    well_known=(KNIGHTS_W,),
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
            marks=(_C.KING_IN_CENTRE, _C.MEN_SAFE),
        ),
        Stage(
            "drive the king to the edge",
            "use bishops on neighbouring diagonals as a wall and push it with the king",
            "bishops apart from each other leave a gap in the wall",
            central_king,
            conditions=(_C.KING_IN_CENTRE,),
            marks=(_C.BISHOPS_ABREAST, _C.DEFENDER_ON_EDGE),
        ),
        Stage(
            "along the edge to a corner",
            "take the edge squares one after another until the king is in the corner",
            "the attacking king must stay near: the bishops alone cannot hold the edge",
            lambda zones: zones.black_king(lambda s: from_edge(s) <= 1),
            conditions=(_C.DEFENDER_NEAR_EDGE,),
            marks=(_C.CAGE_SHUT, _C.BISHOPS_ABREAST),
        ),
        Stage(
            "mate in the corner",
            "bring the king a knight's move from the corner and mate with two checks",
            "a bishop that takes the last square without check is stalemate",
            lambda zones: zones.black_king(
                lambda s: min(corner_depth(s, corner) for corner in (0, 7, 56, 63)) <= SMALL_DIAGONAL
            ),
            conditions=(_C.BY_A_CORNER,),
            marks=(_C.CAGE_SHUT, _C.KING_AT_CORNER),
        ),
    ),
    heading="Mate with two bishops",
    job="Drive the king to the edge with bishops side by side and your king in the middle, then mate by a corner.",
    why="It ends by a corner: on an open edge two bishops and king leave the king a way out.",
    place=130,
    in_course=True,
    figures=Figures((12, 8, 15, 16), 20, 13.1052, 19, 12.4815, 5_007_216),
)

LADDERS = (KBNK_EDGE, KBNK_TRIANGLES, KBBK)
