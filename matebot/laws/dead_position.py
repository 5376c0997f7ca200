"""Positions from which no moves at all lead to mate (article 5.2.2)."""

from __future__ import annotations

from matebot.solver.lookup import CanonicalPosition


def is_dead(stand: CanonicalPosition) -> bool:
    """Whether no moves at all lead to mate: a lone minor piece, or bishops on squares of one colour (article 5.2.2)."""
    if stand.material is None:
        return True
    men = stand.material.men
    if len(men) == 1:
        return men[0][0] in "BN"
    for man, _ in men:  # asked of every draw, so nothing is made for it
        if man != "B":
            return False
    return len({(square % 8 + square // 8) % 2 for square in stand.men}) == 1
