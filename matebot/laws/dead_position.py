"""Positions from which no moves at all lead to mate (article 5.2.2)."""

from __future__ import annotations

from matebot.solver.lookup import CanonicalPosition


def is_dead(stand: CanonicalPosition) -> bool:
    """Whether no moves at all lead to mate: a lone minor piece, or bishops on squares of one colour (article 5.2.2)."""
    if stand.material is None:
        return True
    kinds = {man for man, _ in stand.material.men}
    if len(stand.men) == 1:
        return kinds <= {"B", "N"}
    return kinds == {"B"} and len({(square % 8 + square // 8) % 2 for square in stand.men}) == 1
