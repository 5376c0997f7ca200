"""Zones that ladders of several endings have in common, and makers of zones."""

from __future__ import annotations

from matebot.method.field import Field, from_edge
from matebot.solver.geometry import Words


def everywhere(field: Field) -> Words:
    """Return all placements."""
    return field.everywhere


def central_king(field: Field) -> Words:
    """Return where White's king is two steps or more from the edge."""
    return field.everywhere & field.white_king(lambda king: from_edge(king) >= 2)


def along_the_edge(field: Field) -> Words:
    """Return where Black's king is on the edge or next to it, and White's is not on it."""
    return field.black_king(lambda s: from_edge(s) <= 1) & field.white_king(lambda s: from_edge(s) >= 1)


def on_the_edge(field: Field) -> Words:
    """Return where Black's king is on the edge."""
    return field.black_king(lambda s: from_edge(s) == 0)
