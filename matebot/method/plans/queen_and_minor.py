"""Queen and bishop, queen and knight: the queen's own way, with a second helper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matebot.method.condition import Condition
from matebot.method.plan import Figures, Plan, Stage
from matebot.method.plans.shared import edge_held, everywhere, king_at_hand

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words

_C = Condition


def _held_by_queen(zones: Zones) -> Words:
    return edge_held(zones, 0)


def _stages(minor: str) -> tuple[Stage, ...]:
    """Return the stages of a queen and another man, whose kind is named."""
    return (
        Stage(
            "confine the king to the edge",
            "shut the king on the edge with the queen on the neighbouring rank or file",
            f"a {minor} next to the king that nobody guards is lost",
            everywhere,
            marks=(_C.MEN_SAFE,),
        ),
        Stage(
            "bring a helper",
            f"leave the queen where she holds the edge and bring the king, or mate with the {minor}'s help",
            "the other king must keep a square to move to until the helper has arrived",
            _held_by_queen,
            conditions=(_C.DEFENDER_ON_EDGE, _C.EDGE_HELD),
            marks=(_C.MEN_SAFE,),
        ),
        Stage(
            "mate",
            f"mate with the queen beside the king, guarded by king or {minor}, or along the edge",
            "every queen move that is not check must leave the king a square",
            king_at_hand,
            conditions=(_C.DEFENDER_ON_EDGE, _C.KING_AT_HAND),
            marks=(_C.MEN_SAFE,),
        ),
    )


def _job(minor: str) -> str:
    return f"Shut the king in on the edge with the queen, bring your king, mate; the {minor} helps where it can."


_WHY = (
    "On the edge a king has five squares beside it instead of eight; queen and helper can take them all. A queen that "
    "takes all without check is stalemate."
)

KQBK = Plan(
    "edge with a bishop",
    "KQBK",
    _stages("bishop"),
    heading="Mate with queen and bishop",
    job=_job("bishop"),
    why=_WHY,
    place=50,
    figures=Figures((8, 5, 5), 8, 3.8158, 8, 3.7894, 7_698_432),
)

KQNK = Plan(
    "edge with a knight",
    "KQNK",
    _stages("knight"),
    heading="Mate with queen and knight",
    job=_job("knight"),
    why=_WHY,
    place=60,
    figures=Figures((9, 5, 5), 9, 4.3408, 9, 4.3348, 8_245_296),
)

LADDERS = (KQBK, KQNK)
