"""Queen and bishop, queen and knight: the queen's own way, with a second helper."""

from __future__ import annotations

from matebot.method.ladder import Plan, Stage
from matebot.method.plans.shared import edge_held, everywhere, king_at_hand
from matebot.method.zones import Zones
from matebot.solver.geometry import Words


def _held_by_queen(zones: Zones) -> Words:
    return edge_held(zones, 0)


def _plan(name: str, ending: str, minor: str) -> Plan:
    """Return the ladder of a queen and another man, whose kind is named."""
    stages = (
        Stage(
            "confine the king to the edge",
            "shut the king on the edge with the queen on the neighbouring rank or file",
            f"a {minor} next to the king that nobody guards is lost",
            everywhere,
        ),
        Stage(
            "bring a helper",
            f"leave the queen where she holds the edge and bring the king, or mate with the {minor}'s help",
            "the other king must keep a square to move to until the helper has arrived",
            _held_by_queen,
        ),
        Stage(
            "mate",
            f"mate with the queen beside the king, guarded by king or {minor}, or along the edge",
            "every queen move that is not check must leave the king a square",
            king_at_hand,
        ),
    )
    return Plan(name, ending, stages)


KQBK = _plan("edge with a bishop", "KQBK", "bishop")
KQNK = _plan("edge with a knight", "KQNK", "knight")

LADDERS = (KQBK, KQNK)
