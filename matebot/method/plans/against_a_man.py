"""A queen or a rook against a single man, which may capture or promote; the ladder of what is left takes over."""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.field import Field, file, king_steps
from matebot.method.ladder import Plan, Stage
from matebot.method.plans.zones import everywhere
from matebot.solver.geometry import Words

#: Numbers of the men: White's piece, Black's man.
_PIECE, _MAN = 0, 1
#: White's king is near, and at hand, so many steps from the promotion square; it is by the pawn so many from that.
NEAR, AT_HAND, BY_PAWN = 4, 2, 2


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


def _king_within(steps: int) -> Callable[[Field], Words]:
    def zone(field: Field) -> Words:
        near = field.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, file(pawn)) <= steps)
        return field.everywhere & near

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
        ),
        Stage(
            "bring the king",
            "check and pin until the king must step in front of its pawn, bring your king a step nearer, and again",
            "a bishop's or rook's pawn on the seventh: with its king in the corner taking it is stalemate, or a check "
            "is missing",
            lambda field: _king_within(NEAR)(field) & _held(field),
            after_move=True,
        ),
        Stage(
            "win the pawn",
            "with your king at hand attack the pawn twice and take it, or let it promote and mate at once",
            "a king that cannot move is stalemated while its pawn stands still: leave it a square",
            _king_within(AT_HAND),
        ),
    ),
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
        ),
        Stage(
            "bring the king",
            "keep the rook between king and pawn, and walk your king to the pawn",
            "count before you walk: a pawn that runs alone is taken by the rook, one with its king beside it costs the "
            "rook",
            lambda field: field.everywhere & field.beyond_line(_PIECE, _MAN),
            after_move=True,
        ),
        Stage(
            "win the pawn",
            "attack the pawn with king and rook and take it, then mate with the rook",
            "a pawn one step from promotion may become a knight with check",
            lambda field: (
                field.everywhere & field.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, pawn) <= BY_PAWN)
            ),
        ),
    ),
)

LADDERS = (KQKP, KRKP)
