"""A queen or a rook against a single man, which may capture or promote; the ladder of what is left takes over."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage, Textbook
from matebot.method.plans.shared import central_king, everywhere, pawn_held
from matebot.method.squares import file, from_edge, king_steps

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

#: Numbers of the men: White's piece, Black's man.
_PIECE, _MAN = 0, 1
#: White's king is near, and at hand, so many steps from the promotion square or the other king; by the pawn, from that.
NEAR, AT_HAND, BY_PAWN = 4, 2, 2


def _held(zones: Zones) -> Words:
    return pawn_held(zones, (_PIECE,), _MAN)


def _king_within(steps: int) -> Callable[[Zones], Words]:
    def zone(zones: Zones) -> Words:
        near = zones.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, file(pawn)) <= steps)
        return zones.everywhere & near

    return zone


KQKP = Plan(
    "hold and approach",
    "KQKP",
    (
        Stage(
            "hold the pawn",
            "let no move pass that does not hold the pawn, by check, pin or block, and bring the king near when the "
            "other king stands in its way",
            "a check from afar that lets the king step aside lets the pawn promote as well",
            everywhere,
            marks=(_C.PAWN_HELD, _C.DEFENDER_BEFORE_PAWN),
        ),
        Stage(
            "bring the king",
            "check and pin until the king must step in front of its pawn, bring your king a step nearer, and again",
            "a bishop's or rook's pawn on the seventh: with its king in the corner taking it is stalemate, or a check "
            "is missing",
            lambda zones: _king_within(NEAR)(zones) & _held(zones),
            after_move=True,
            conditions=(_C.KING_NEAR_PROMOTION_SQUARE, _C.PAWN_HELD),
            marks=(_C.DEFENDER_BEFORE_PAWN,),
            by_king=True,
        ),
        Stage(
            "win the pawn",
            "with your king at hand attack the pawn twice and take it, or let it promote and mate at once",
            "a king that cannot move is stalemated while its pawn stands still: leave it a square",
            _king_within(AT_HAND),
            conditions=(_C.KING_AT_PROMOTION_SQUARE,),
            marks=(_C.PAWN_HELD, _C.PAWN_FALLS),
        ),
    ),
    heading="Queen against pawn",
    job="Check and pin until the king must step in front of its pawn; each time bring your king a step nearer. Then "
    "win the pawn, or mate.",
    why="In front of its pawn the king stops it, and you have a move to spare. A bishop's or rook's pawn on the "
    "seventh need not be defended: the king goes into the corner, where it is stalemate, and only a king near by "
    "wins.",
    place=90,
    in_course=True,
    figures=Figures((18, 18, 15), 28, 7.7992, 28, 7.0617, 6_699_262),
    pictures=(
        Textbook("the queen pins the pawn: it cannot go on", "8/8/6K1/8/8/8/3kp2Q/8 b - - 0 1"),
        Textbook(
            "the check leaves one square that keeps the pawn: in front of it", "8/8/6K1/8/8/3Q4/4p3/3k4 b - - 0 1"
        ),
        Textbook(
            "the king stands in front of its pawn: time for a step of your king", "8/8/6K1/8/8/3Q4/4p3/4k3 w - - 0 1"
        ),
        Textbook(
            "a bishop's pawn and the king in the corner: taking it is stalemate", "8/6K1/8/8/8/1Q6/2p5/k7 w - - 0 1"
        ),
    ),
    near_enough=(
        ("a rook's pawn on the seventh", "5Q2/8/8/8/2K5/8/pk6/8 w - - 0 1"),
        ("a bishop's pawn on the seventh, the king on the corner's side", "5Q2/8/8/8/1K6/8/1kp5/8 w - - 0 1"),
    ),
    well_known=("8/8/8/8/8/3KQ3/4p3/5k2 w - - 0 1",),
)

KRKP = Plan(
    "cut off and fetch",
    "KRKP",
    (
        Stage(
            "cut the king off",
            "put the rook on a rank or file between the king and its pawn",
            "checks that drive the king to its pawn help the pawn on",
            everywhere,
            marks=(_C.KING_IN_SQUARE,),
        ),
        Stage(
            "bring the king",
            "keep the rook between king and pawn, and walk your king to the pawn",
            "count before you walk: a pawn that runs alone is taken by the rook, one with its king beside it costs the "
            "rook",
            lambda zones: zones.everywhere & zones.beyond_line(_PIECE, _MAN),
            after_move=True,
            conditions=(_C.CUT_FROM_PAWN,),
            marks=(_C.KING_IN_SQUARE,),
            by_king=True,
        ),
        Stage(
            "win the pawn",
            "attack the pawn with king and rook and take it, then mate with the rook",
            "a pawn one step from promotion may become a knight with check",
            lambda zones: (
                zones.everywhere & zones.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, pawn) <= BY_PAWN)
            ),
            conditions=(_C.KING_BY_PAWN,),
            marks=(_C.KING_IN_SQUARE, _C.PAWN_FALLS),
        ),
    ),
    heading="Rook against pawn",
    job="Cut the king off from its pawn, bring your own king, win the pawn, mate with the rook.",
    why="A pawn alone falls to the rook, a pawn with its king beside it costs the rook: everything turns on which "
    "king is at the pawn first.",
    place=120,
    in_course=True,
    figures=Figures((22, 27, 24), 28, 14.2413, 26, 13.0277, 7_406_204),
    pictures=(
        Textbook("the rook cuts the king off: the pawn alone cannot be saved", "8/8/4k3/R7/3p4/8/8/6K1 w - - 0 1"),
        Textbook("the king beside its pawn and yours far away: it costs the rook", "8/8/8/8/8/2kp4/8/3R3K w - - 0 1"),
        Textbook("the same with your king in time", "8/8/8/8/8/2kp4/8/3R1K2 w - - 0 1"),
    ),
)


def _by_the_edge(zones: Zones) -> Words:
    near = zones.black_king_by_white_king(lambda white, black: king_steps(white, black) <= AT_HAND)
    return zones.everywhere & near & zones.black_king(lambda king: from_edge(king) <= 1)


def _parted(zones: Zones) -> Words:
    return zones.everywhere & zones.black_king_by_man(_MAN, lambda rook, king: king_steps(rook, king) > 1)


KQKR = Plan(
    "edge, rook away, fork",
    "KQKR",
    (
        Stage(
            "bring the king to the centre",
            "walk your king to the centre and keep the queen where no check of the rook strikes through to her",
            "a queen on one line with her king is lost to the rook",
            everywhere,
            marks=(_C.KING_IN_CENTRE, _C.MEN_SAFE),
            by_king=True,
        ),
        Stage(
            "drive the king to the edge",
            "take squares from the king with queen and king together until it stands by the edge, your king opposite",
            "checks from afar drive the king back to the middle",
            central_king,
            conditions=(_C.KING_IN_CENTRE,),
            marks=(_C.DEFENDER_NEAR_EDGE,),
        ),
        Stage(
            "make the rook leave",
            "keep the king by the edge with yours two steps away, and pass the move: the rook must leave its king",
            "with the king in a corner the rook gives itself up with check: taking it is stalemate",
            _by_the_edge,
            after_move=True,
            conditions=(_C.DEFENDER_NEAR_EDGE, _C.KING_AT_HAND),
            marks=(_C.OPPOSITION,),
        ),
        Stage(
            "win the rook",
            "check until one check attacks king and rook at once, and take it",
            "a check that lets the king step back to its rook begins it all again",
            _parted,
            after_move=True,
            conditions=(_C.MAN_AWAY,),
            marks=(_C.FORKED,),
        ),
    ),
    heading="Queen against rook",
    job="Drive the king to the edge, its rook beside it; pass the move, so that the rook must leave; win it by a "
    "check that attacks both.",
    why="In the middle the rook shields its king and always has a move. By the edge king and rook run out of moves "
    "that keep them together, and alone the rook falls to a check.",
    place=150,
    in_course=True,
    figures=Figures((27, 31, 29, 22), 41, 15.3657, 35, 13.4227, 8_863_768),
    pictures=(
        Textbook("every move of the rook leaves its king, and a check wins it", "1k6/1r6/2K5/Q7/8/8/8/8 b - - 0 1"),
        Textbook(
            "pass the move with the queen by checks, until the other side is to move here",
            "1k6/1r6/2K5/Q7/8/8/8/8 w - - 0 1",
        ),
    ),
)

LADDERS = (KQKP, KRKP, KQKR)
