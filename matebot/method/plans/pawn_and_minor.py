"""A pawn with a bishop or a knight: guard it, lead the king in, promote."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage, Textbook
from matebot.method.plans.shared import everywhere
from matebot.method.squares import file, king_steps, outside_square

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition

_MINOR, _PAWN = 0, 1


def _outside(zones: Zones) -> Words:
    return zones.everywhere & zones.black_king_by_man(_PAWN, outside_square)


def _safe(zones: Zones) -> Words:
    """Return where another man guards the pawn, or the king next to it, or it runs away from Black's king."""
    by_king = zones.white_king_by_man(_PAWN, lambda pawn, king: king_steps(pawn, king) <= 1)
    return _outside(zones) | (zones.everywhere & (by_king | zones.guards(_MINOR, _PAWN)))


def _way_sure(zones: Zones) -> Words:
    """Return where White's king is on the promotion square or next to it, or Black's outside the pawn's square."""
    by_king = zones.white_king_by_man(_PAWN, lambda pawn, king: king_steps(56 + file(pawn), king) <= 1)
    return _outside(zones) | (zones.everywhere & by_king)


_PROMOTE = Stage(
    "promote",
    "push the pawn: the king holds its promotion square, or the other king is too far away",
    "with the other king shut in a corner a push, or the new queen, may be stalemate",
    _way_sure,
    conditions=(_C.WAY_SURE,),
    marks=(_C.PAWN_ON_SEVENTH, _C.MEN_SAFE),
)

KBPK = Plan(
    "guard and lead in with a bishop",
    "KBPK",
    (
        Stage(
            "guard the pawn",
            "guard the pawn with bishop or king before the other king takes it",
            "a rook's pawn whose corner the bishop does not hold is drawn as soon as the other king sits there",
            everywhere,
            marks=(_C.CORNER_HELD, _C.MEN_SAFE),
        ),
        Stage(
            "lead the king in",
            "bring the king past the pawn to its promotion square; the bishop keeps the pawn meanwhile",
            "a pawn pushed on before the king has come up is stopped, and the bishop is tied to it",
            _safe,
            after_move=True,
            by_king=True,
            conditions=(_C.PAWN_SAFE,),
            marks=(_C.CORNER_HELD, _C.KING_IN_FRONT),
        ),
        _PROMOTE,
    ),
    heading="Bishop and pawn against king",
    job="Guard the pawn, lead your king to the promotion square, push the pawn, mate with the new queen.",
    why="Whoever holds the promotion square decides. A rook's pawn wins only with a bishop that holds its corner: no "
    "king can be driven out of the other one.",
    place=100,
    in_course=True,
    figures=Figures((15, 32, 17), 35, 10.5400, 31, 10.1646, 8_283_622),
    pictures=(
        Textbook(
            "wrong corner: the bishop does not go on the colour of the promotion square",
            "7k/8/6K1/7P/4B3/8/8/8 w - - 0 1",
            1,
        ),
        Textbook("right corner: the bishop takes it from the king", "7k/8/6K1/7P/8/8/8/2B5 w - - 0 1", 1),
    ),
)

KNPK = Plan(
    "guard and lead in with a knight",
    "KNPK",
    (
        Stage(
            "guard the pawn",
            "guard the pawn with knight or king before the other king takes it",
            "guard it from behind: a king that takes the knight there lets the pawn run",
            everywhere,
            marks=(_C.MEN_SAFE,),
        ),
        Stage(
            "lead the king in",
            "bring the king past the pawn to its promotion square; the knight keeps the pawn meanwhile",
            "on the seventh a rook's pawn freezes the knight that guards it: the king that comes up gives stalemate",
            _safe,
            after_move=True,
            by_king=True,
            conditions=(_C.PAWN_SAFE,),
            marks=(_C.KING_GUARDS_PAWN, _C.KING_IN_FRONT),
        ),
        _PROMOTE,
    ),
    heading="Knight and pawn against king",
    job="Guard the pawn from behind, lead your king to its promotion square, push it, mate with the new queen.",
    why="Whoever holds the promotion square decides. A knight that guards a rook's pawn on the seventh is frozen: "
    "whenever the king comes to free it, the other king in the corner is stalemated.",
    place=110,
    in_course=True,
    figures=Figures((23, 34, 18), 38, 11.5711, 27, 11.1721, 8_810_640),
    pictures=(
        Textbook(
            "knight behind the pawn: the king that takes it lets the pawn run", "8/8/2kP4/1N6/8/8/8/K7 b - - 0 1", 1
        ),
        Textbook(
            "knight before the pawn: the king takes it and catches the pawn", "8/8/1N6/2kP4/8/8/8/K7 b - - 0 1", 1
        ),
        Textbook(
            "the knight is frozen: it cannot leave the pawn, and the king cannot come near without stalemate",
            "8/Pk6/8/1N6/8/8/3K4/8 w - - 0 1",
            2,
        ),
    ),
)

LADDERS = (KBPK, KNPK)
