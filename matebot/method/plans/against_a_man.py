"""A queen or a rook against a single man, which may capture or promote; the ladder of what is left takes over."""

from __future__ import annotations

from matebot.method.field import Field, file, king_steps
from matebot.method.ladder import Plan, Stage
from matebot.method.plans.zones import everywhere
from matebot.solver.geometry import Words

#: Numbers of the men: White's piece, Black's man.
_PIECE, _MAN = 0, 1
#: White's king is at hand so many steps from the promotion square.
AT_HAND = 2


def before(pawn: int) -> int:
    """Return the square before a black pawn."""
    return max(pawn - 8, 0)


def _held(field: Field) -> Words:
    """Return where the pawn is held: blocked, or with it lifted off, king or the square before it under attack."""
    blocked = field.black_king_by_man(_MAN, lambda pawn, king: king == before(pawn)) | field.man_by_man(
        _PIECE, _MAN, lambda piece, pawn: piece == before(pawn)
    )
    guarded = field.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, before(pawn)) <= 1)
    lifted = field.attacks_through(_PIECE, _MAN) | field.guards_through(_PIECE, _MAN, before)
    return field.everywhere & (blocked | guarded | lifted)


def _king_at_hand(field: Field) -> Words:
    near = field.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, file(pawn)) <= AT_HAND)
    return field.everywhere & near


KQKP = Plan(
    "hold and approach",
    "KQKP",
    (
        Stage(
            "stop the pawn",
            "bring the queen, with checks where they help, to where she holds the pawn",
            "a queen that only checks from afar lets the king step aside, and the pawn promotes",
            everywhere,
        ),
        Stage(
            "check, pin and approach",
            "check and pin until the king must step in front of its pawn, then bring your king a step nearer, again "
            "and again",
            "a bishop's or rook's pawn on the seventh is stalemate when the king is in the corner and yours far away",
            _held,
            after_move=True,
        ),
        Stage(
            "win the pawn",
            "with your king at hand attack the pawn twice and take it, or let it promote and mate at once",
            "a king that may not move behind its own pawn is stalemated: leave it a square",
            _king_at_hand,
        ),
    ),
)

LADDERS = (KQKP,)
