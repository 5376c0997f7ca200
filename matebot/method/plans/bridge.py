"""Rook and pawn against rook, the pawn on the seventh with its king before it: out by the bridge, and promote."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage, Textbook
from matebot.method.squares import file, king_steps, rank

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

#: Numbers of White's men.
_ROOK, _PAWN = 0, 1
#: The ranks, from 0, on which the rook waits for its king, and from which the king is covered by it; on the last one it
#: guards the promotion square.
ROOK_RANKS, KING_RANKS, LAST_RANK = (3, 4), (4, 5), 7
#: Files between the king and its pawn at most.
FILES_FROM_PAWN = 2


def _cut_off(zones: Zones) -> Words:
    return zones.everywhere & zones.beyond_file(_ROOK, _PAWN)


def _in_its_house(zones: Zones) -> Words:
    """Return where the other king is cut off and White's on the promotion square or next to it."""
    return _cut_off(zones) & zones.white_king_by_man(_PAWN, lambda pawn, king: king_steps(pawn + 8, king) <= 1)


def _rook_ready(zones: Zones) -> Words:
    return zones.man(_ROOK, lambda square: rank(square) in ROOK_RANKS)


def _beside_its_pawn(zones: Zones) -> Words:
    return zones.white_king_by_man(
        _PAWN, lambda pawn, king: king != pawn + 8 and abs(file(pawn) - file(king)) <= FILES_FROM_PAWN
    )


def _out(zones: Zones) -> Words:
    """Return where the king is out, no longer on the promotion square, and the rook below it or on the last rank."""
    below = _rook_ready(zones) & zones.white_king_by_man(_ROOK, lambda rook, king: rank(king) > rank(rook))
    last = zones.man(_ROOK, lambda square: rank(square) == LAST_RANK)
    return _cut_off(zones) & _beside_its_pawn(zones) & (below | last)


def _by_the_rook(zones: Zones) -> Words:
    """Return where the king has come down to the rook, which cuts the other off or stands as a bridge.

    It does on the pawn's file, or on its king's file with the king above it.
    """
    own = zones.white_king_by_man(_ROOK, lambda rook, king: file(rook) == file(king) and rank(rook) < rank(king))
    bridge = own | zones.man_by_man(_ROOK, _PAWN, lambda rook, pawn: file(rook) == file(pawn))
    down = zones.white_king(lambda king: rank(king) in KING_RANKS)
    return zones.everywhere & _rook_ready(zones) & _beside_its_pawn(zones) & down & (_cut_off(zones) | bridge)


KRPKR = Plan(
    "bridge",
    "KRPKR",
    (
        Stage(
            "put the rook on the fourth rank",
            "with the other king cut off by a file put the rook on its fourth or fifth rank, before the king comes out",
            "a king that comes out at once is checked back in front of its pawn: nothing covers it",
            _in_its_house,
            conditions=(_C.PAWN_ON_SEVENTH, _C.KING_BEFORE_PAWN, _C.CUT_BY_FILE),
            marks=(_C.MEN_SAFE,),
        ),
        Stage(
            "bring the king out",
            "step out from before the pawn, so that it is ready to promote",
            "the rook that leaves its file lets the other king in",
            lambda zones: _in_its_house(zones) & _rook_ready(zones),
            conditions=(_C.PAWN_ON_SEVENTH, _C.KING_BEFORE_PAWN, _C.CUT_BY_FILE, _C.ROOK_READY),
            marks=(_C.MEN_SAFE,),
            by_king=True,
        ),
        Stage(
            "walk down to the rook",
            "answer the checks by walking towards the rook, near the pawn's file; a rook that is attacked goes to the "
            "last rank and guards the promotion square from there",
            "a king that goes too far from its pawn loses it",
            _out,
            conditions=(_C.PAWN_ON_SEVENTH, _C.CUT_BY_FILE, _C.ROOK_HELPS, _C.KING_OUT),
            marks=(_C.MEN_SAFE,),
        ),
        Stage(
            "build the bridge",
            "put the rook between king and checking rook, guarded by the king, and promote",
            "check that the pawn can promote at once when the checks are over",
            _by_the_rook,
            conditions=(_C.PAWN_ON_SEVENTH, _C.ROOK_READY, _C.KING_DOWN, _C.ROOK_BRIDGES),
            marks=(_C.BRIDGE_BUILT,),
        ),
    ),
    ranks=1,
    heading="Rook and pawn against rook: the bridge",
    job="Your king stands before its pawn on the seventh, the other is cut off by a file: put the rook on its fourth "
    "rank, bring the king out, walk down under the checks, put the rook in between and promote.",
    why="A king that comes out from before its pawn is checked back, until something covers it: the rook on the "
    "fourth rank does. It must stay cut off on the rook's file: the other king at the pawn is a draw.",
    place=160,
    figures=Figures((16, 8, 17, 11), 41, 9.1527, 37, 8.7946, 3_916_794),
    pictures=(
        Textbook(
            "the other king is cut off by a file: first the rook to the fourth rank",
            "3K4/3P2k1/8/8/8/8/2r5/5R2 w - - 0 1",
        ),
        Textbook("the rook stands ready, so the king comes out", "3K4/3P2k1/8/8/5R2/8/8/2r5 w - - 0 1"),
        Textbook("towards the rook, check after check, staying near the pawn", "8/3PK1k1/8/8/5R2/8/8/4r3 w - - 0 1"),
        Textbook(
            "the bridge: the rook covers its king, and nothing stops the pawn", "8/3P2k1/8/3K4/3R4/8/8/3r4 b - - 0 1"
        ),
    ),
    well_known=("8/3P2k1/8/3K4/3R4/8/8/2r5 w - - 0 1",),
)

LADDERS = (KRPKR,)
