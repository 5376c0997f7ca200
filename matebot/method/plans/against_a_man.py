"""A queen or a rook against a single man, which may capture or promote; the ladder of what is left takes over."""

from __future__ import annotations

from collections.abc import Callable

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import central_king, everywhere
from matebot.method.squares import file, from_edge, king_steps
from matebot.method.zones import Zones
from matebot.solver.geometry import Words

#: Numbers of the men: White's piece, Black's man.
_PIECE, _MAN = 0, 1
#: White's king is near, and at hand, so many steps from the promotion square or the other king; by the pawn, from that.
NEAR, AT_HAND, BY_PAWN = 4, 2, 2


def before(pawn: int) -> int:
    """Return the square before a black pawn."""
    return max(pawn - 8, 0)


def _held(zones: Zones) -> Words:
    """Return where the pawn is held: blocked, or with it lifted off, king or the square before it under attack."""
    blocked = zones.black_king_by_man(_MAN, lambda pawn, king: king == before(pawn)) | zones.man_by_man(
        _PIECE, _MAN, lambda piece, pawn: piece == before(pawn)
    )
    guarded = zones.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, before(pawn)) <= 1)
    lifted = zones.attacks_through(_PIECE, _MAN) | zones.guards_through(_PIECE, _MAN, before)
    return zones.everywhere & (blocked | guarded | lifted)


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
        ),
        Stage(
            "bring the king",
            "check and pin until the king must step in front of its pawn, bring your king a step nearer, and again",
            "a bishop's or rook's pawn on the seventh: with its king in the corner taking it is stalemate, or a check "
            "is missing",
            lambda zones: _king_within(NEAR)(zones) & _held(zones),
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
            lambda zones: zones.everywhere & zones.beyond_line(_PIECE, _MAN),
            after_move=True,
        ),
        Stage(
            "win the pawn",
            "attack the pawn with king and rook and take it, then mate with the rook",
            "a pawn one step from promotion may become a knight with check",
            lambda zones: (
                zones.everywhere & zones.white_king_by_man(_MAN, lambda pawn, king: king_steps(king, pawn) <= BY_PAWN)
            ),
        ),
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
        ),
        Stage(
            "drive the king to the edge",
            "take squares from the king with queen and king together until it stands by the edge, your king opposite",
            "checks from afar drive the king back to the middle",
            central_king,
        ),
        Stage(
            "make the rook leave",
            "keep the king by the edge with yours two steps away, and pass the move: the rook must leave its king",
            "with the king in a corner the rook gives itself up with check: taking it is stalemate",
            _by_the_edge,
            after_move=True,
        ),
        Stage(
            "win the rook",
            "check until one check attacks king and rook at once, and take it",
            "a check that lets the king step back to its rook begins it all again",
            _parted,
            after_move=True,
        ),
    ),
)

LADDERS = (KQKP, KRKP, KQKR)
