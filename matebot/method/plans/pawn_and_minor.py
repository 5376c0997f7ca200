"""A pawn with a bishop or a knight: guard it, lead the king in, promote."""

from __future__ import annotations

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import everywhere
from matebot.method.squares import file, king_steps, outside_square
from matebot.method.zones import Zones
from matebot.solver.geometry import Words

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
        ),
        Stage(
            "lead the king in",
            "bring the king past the pawn to its promotion square; the bishop keeps the pawn meanwhile",
            "a pawn pushed on before the king has come up is stopped, and the bishop is tied to it",
            _safe,
            after_move=True,
        ),
        _PROMOTE,
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
        ),
        Stage(
            "lead the king in",
            "bring the king past the pawn to its promotion square; the knight keeps the pawn meanwhile",
            "on the seventh a rook's pawn freezes the knight that guards it: the king that comes up gives stalemate",
            _safe,
            after_move=True,
        ),
        _PROMOTE,
    ),
)

LADDERS = (KBPK, KNPK)
