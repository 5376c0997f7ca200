"""Bishop and knight against a pawn on its seventh rank: block it, win it; then bishop and knight mate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage, Textbook
from matebot.method.plans.shared import before, pawn_held
from matebot.method.squares import king_steps

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

#: Numbers of the men: White's bishop and knight, Black's pawn.
_BISHOP, _KNIGHT, _PAWN = 0, 1, 2
#: White's king is by the pawn so many steps from it.
BY_PAWN = 2


def _held(zones: Zones) -> Words:
    return pawn_held(zones, (_BISHOP, _KNIGHT), _PAWN)


def _blocked(zones: Zones) -> Words:
    """Return where a man of White's, or the king, stands on the square before the pawn."""
    king = zones.white_king_by_man(_PAWN, lambda pawn, king: king == before(pawn))
    men = [zones.man_by_man(man, _PAWN, lambda man, pawn: man == before(pawn)) for man in (_BISHOP, _KNIGHT)]
    return zones.everywhere & (king | men[0] | men[1])


def _king_by_pawn(zones: Zones) -> Words:
    return _blocked(zones) & zones.white_king_by_man(_PAWN, lambda pawn, king: king_steps(king, pawn) <= BY_PAWN)


KBNKP = Plan(
    "block and win the pawn",
    "KBNKP",
    (
        Stage(
            "block the pawn",
            "put a man on the promotion square while the pawn is held, or take the pawn at once",
            "a man that only guards the promotion square takes the new queen, and the king takes that man back",
            _held,
            conditions=(_C.PAWN_ON_SEVENTH, _C.PAWN_HELD),
            marks=(_C.MEN_SAFE, _C.PAWN_FALLS),
        ),
        Stage(
            "bring the king",
            "walk your king to the pawn: the pawn cannot move, so its king must",
            "the man that blocks the pawn is attacked by the king: guard it, it has to stay where it is",
            _blocked,
            conditions=(_C.PAWN_ON_SEVENTH, _C.PAWN_BLOCKED),
            marks=(_C.MEN_SAFE, _C.PAWN_FALLS),
            by_king=True,
        ),
        Stage(
            "win the pawn",
            "attack the pawn with the king and the man that is free, take it, and mate with bishop and knight",
            "the pawn has no move: a king that has none either is stalemated",
            _king_by_pawn,
            conditions=(_C.PAWN_ON_SEVENTH, _C.PAWN_BLOCKED, _C.KING_BY_PAWN),
            marks=(_C.MEN_SAFE, _C.PAWN_FALLS),
        ),
    ),
    ranks=1,
    heading="Bishop and knight against a pawn on the seventh",
    job="Put a man on the promotion square, bring your king, win the pawn; then mate with bishop and knight.",
    why="A blocked pawn stays where it is, and its king must move: it can neither guard the pawn for long nor drive "
    "off a man that is guarded. A pawn that promotes mostly costs a man, and with it the win.",
    place=170,
    figures=Figures((2, 32, 18), 45, 30.9121, 40, 28.2375, 15_656_766),
    pictures=(
        Textbook("the pawn is held: a man goes to the promotion square", "8/8/8/4B3/8/1N1k4/2p5/6K1 w - - 0 1"),
        Textbook("nobody guards the man that blocks the pawn: the king takes it", "8/8/8/7B/4K3/8/3kp3/4N3 b - - 0 1"),
        Textbook(
            "the king blocks the pawn itself and the knight attacks it: the other king must let go",
            "8/8/8/8/8/4k3/4p3/4K1NB b - - 0 1",
        ),
    ),
)

LADDERS = (KBNKP,)
