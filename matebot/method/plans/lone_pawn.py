"""A lone pawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage, Textbook
from matebot.method.plans.shared import everywhere
from matebot.method.squares import key_squares, king_steps, outside_square, past_key_squares

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition


def on_key_square_or_past(pawn: int, king: int) -> bool:
    """Whether White's king stands on a key square of a pawn or beyond them."""
    return king in key_squares(pawn) or past_key_squares(pawn, king)


def _escorting(zones: Zones) -> Words:
    """On a key square or past it, or back beside a pawn that the other king has come near to."""
    beside = zones.white_king_by_man(0, lambda pawn, king: king_steps(pawn, king) <= 1)
    threatened = zones.black_king_by_man(0, lambda pawn, king: king_steps(pawn, king) <= 4)
    return zones.everywhere & (zones.white_king_by_man(0, on_key_square_or_past) | (beside & threatened))


KPK = Plan(
    "key squares",
    "KPK",
    (
        Stage(
            "reach a key square",
            "bring the king in front of the pawn to a key square, by opposition if the other king stands there",
            "pushing the pawn too early gives up the key squares in front of it",
            everywhere,
            marks=(_C.KING_IN_FRONT, _C.OPPOSITION),
        ),
        Stage(
            "escort the pawn",
            "from the key square clear the pawn's way to promotion",
            "a rook's pawn and the last ranks hide stalemates",
            _escorting,
            conditions=(_C.KING_ON_KEY_SQUARE,),
            marks=(_C.PAWN_ON_SEVENTH,),
        ),
        Stage(
            "promote",
            "run with the pawn: the other king is outside its square",
            "the new queen must not stalemate",
            lambda zones: zones.everywhere & zones.black_king_by_man(0, outside_square),
            conditions=(_C.OUTSIDE_SQUARE,),
            marks=(_C.PAWN_ON_SEVENTH,),
        ),
    ),
    heading="King and pawn against king",
    job="Put the king on a key square in front of the pawn, then lead the pawn in and mate with the new queen.",
    why="A king on a key square leads the pawn in. Without it the other king stands in front of the pawn: a draw.",
    place=80,
    in_course=True,
    figures=Figures((12, 17, 15), 28, 11.2212, 28, 11.2070, 124_960),
    pictures=(
        Textbook("opposition, king in front of the pawn", "8/4k3/8/4K3/4P3/8/8/8 b - - 0 1", 1),
        Textbook("opposition, king in front of the pawn", "8/4k3/8/4K3/4P3/8/8/8 w - - 0 1", 1),
        Textbook("king on the sixth rank in front of its pawn", "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1", 2),
        Textbook("pawn on the seventh, king behind it: stalemate", "4k3/4P3/4K3/8/8/8/8/8 b - - 0 1", 2),
        Textbook("a rook's pawn and the king in its corner", "k7/8/1K6/P7/8/8/8/8 w - - 0 1", 2),
    ),
    well_known=("8/1P6/8/6k1/8/8/8/7K w - - 0 1",),
)

LADDERS = (KPK,)
