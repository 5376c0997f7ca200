"""A lone pawn."""

from __future__ import annotations

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import everywhere
from matebot.method.squares import key_squares, king_steps, outside_square, past_key_squares
from matebot.method.zones import Zones
from matebot.solver.geometry import Words


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
            lambda zones: zones.everywhere & zones.black_king_by_man(0, outside_square),
        ),
    ),
)

LADDERS = (KPK,)
