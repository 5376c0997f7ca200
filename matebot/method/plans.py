"""The ladders of the elementary mates in the trade's words; White is the stronger side.

The zones are chosen so that a pupil sees on the board which stage it is; that each ladder covers every won position,
and how long it lasts at most, is computed (`ladder`, `proof`).
"""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.field import (
    Field,
    box_squares,
    corner_depth,
    from_edge,
    key_squares,
    king_steps,
    locks_edge,
    outside_square,
    past_key_squares,
    right_corners,
)
from matebot.method.ladder import Plan, Stage
from matebot.solver.geometry import Words

#: A king locked behind this diagonal from the right corner (a4-e8, say) is in the mating triangle.
MATING_DIAGONAL = 4
SMALL_DIAGONAL = 2
LARGE_DIAGONAL = 6
#: Box sizes at which the rook's work changes.
CUT_OFF_SQUARES = 28
SMALL_BOX_SQUARES = 8


def _everywhere(field: Field) -> Words:
    return field.everywhere


def behind_diagonal(bishop: int, king: int) -> int:
    """Return on which diagonal from the nearest right corner a king stands: 0 the corner itself."""
    return min(corner_depth(king, corner) for corner in right_corners(bishop))


def _triangle(diagonal: int) -> Callable[[Field], Words]:
    def zone(field: Field) -> Words:
        inside = field.black_king_by_man(0, lambda bishop, king: behind_diagonal(bishop, king) <= diagonal)
        return field.everywhere & inside

    return zone


def _central_king(field: Field) -> Words:
    return field.everywhere & field.white_king(lambda king: from_edge(king) >= 2)


def _central_king_minors_off_the_rim(field: Field) -> Words:
    off_rim = field.man(0, lambda s: from_edge(s) >= 1) & field.man(1, lambda s: from_edge(s) >= 1)
    return _central_king(field) & off_rim


def _along_the_edge(field: Field) -> Words:
    return field.black_king(lambda s: from_edge(s) <= 1) & field.white_king(lambda s: from_edge(s) >= 1)


def _on_the_edge(field: Field) -> Words:
    return field.black_king(lambda s: from_edge(s) == 0)


def on_key_square_or_past(pawn: int, king: int) -> bool:
    """Whether White's king stands on a key square of a pawn or beyond them."""
    return king in key_squares(pawn) or past_key_squares(pawn, king)


def _escorting(field: Field) -> Words:
    """On a key square or past it, or back beside a pawn that the other king has come near to."""
    beside = field.white_king_by_man(0, lambda pawn, king: king_steps(pawn, king) <= 1)
    threatened = field.black_king_by_man(0, lambda pawn, king: king_steps(pawn, king) <= 4)
    return field.everywhere & (field.white_king_by_man(0, on_key_square_or_past) | (beside & threatened))


def _box(squares: int) -> Callable[[Field], Words]:
    def zone(field: Field) -> Words:
        return field.everywhere & field.black_king_by_man(0, lambda man, king: box_squares(man, king) <= squares)

    return zone


KBNK_EDGE = Plan(
    "edge and corner",
    "KBNK",
    (
        Stage(
            "gather in the centre",
            "bring king, bishop and knight together in the middle of the board",
            "a bishop or knight left on the rim takes no squares from the king and may be attacked",
            _everywhere,
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
            _along_the_edge,
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
            _everywhere,
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
            _everywhere,
        ),
        Stage(
            "drive the king to the edge",
            "use bishops on neighbouring diagonals as a wall and push it with the king",
            "bishops apart from each other leave a gap in the wall",
            _central_king,
        ),
        Stage(
            "along the edge to a corner",
            "take the edge squares one after another until the king is in the corner",
            "the attacking king must stay near: the bishops alone cannot hold the edge",
            lambda field: field.black_king(lambda s: from_edge(s) <= 1),
        ),
        Stage(
            "mate in the corner",
            "bring the king a knight's move from the corner and mate with two checks",
            "a bishop that takes the last square without check is stalemate",
            lambda field: field.black_king(
                lambda s: min(corner_depth(s, corner) for corner in (0, 7, 56, 63)) <= SMALL_DIAGONAL
            ),
        ),
    ),
)

KRK = Plan(
    "box",
    "KRK",
    (
        Stage(
            "cut the king off",
            "place the rook so that its rank and file leave the king a box of at most 28 squares",
            "a rook next to the king and unprotected is lost",
            _everywhere,
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
            _on_the_edge,
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
            _everywhere,
        ),
        Stage(
            "bring the king",
            "leave the queen where she holds the edge and walk the king up",
            "the other king must keep a square to move to until the king has arrived",
            lambda field: _on_the_edge(field) & field.black_king_by_man(0, locks_edge),
        ),
        Stage(
            "mate",
            "with the king at hand, mate with the queen protected in front of the king or along the edge",
            "every queen move that is not check must leave the king a square",
            lambda field: (
                _on_the_edge(field) & field.black_king_by_white_king(lambda white, black: king_steps(white, black) <= 2)
            ),
        ),
    ),
)

KPK = Plan(
    "key squares",
    "KPK",
    (
        Stage(
            "reach a key square",
            "bring the king in front of the pawn to a key square, by opposition if the other king stands there",
            "pushing the pawn too early gives up the key squares in front of it",
            _everywhere,
        ),
        Stage(
            "escort the pawn",
            "from the key square clear the pawn's way to promotion",
            "a rook's pawn and the last ranks hide stalemates",
            _escorting,
        ),
        Stage(
            "promote",
            "run with the pawn: the other king is outside its square",
            "the new queen must not stalemate",
            lambda field: field.everywhere & field.black_king_by_man(0, outside_square),
        ),
    ),
)

#: Every plan, by ending; the first is the one the engine follows.
PLANS: dict[str, tuple[Plan, ...]] = {
    "KBNK": (KBNK_EDGE, KBNK_TRIANGLES),
    "KBBK": (KBBK,),
    "KRK": (KRK,),
    "KQK": (KQK,),
    "KPK": (KPK,),
}
