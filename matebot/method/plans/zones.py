"""Zones that ladders of several endings have in common, and makers of zones."""

from __future__ import annotations

from matebot.method.field import Field, from_edge, king_steps, locks_edge
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


def edge_held(field: Field, man: int) -> Words:
    """Return where Black's king is on the edge and a man holds the line next to it."""
    return on_the_edge(field) & field.black_king_by_man(man, locks_edge)


def king_at_hand(field: Field) -> Words:
    """Return where Black's king is on the edge and White's at most two steps from it."""
    return on_the_edge(field) & field.black_king_by_white_king(lambda white, black: king_steps(white, black) <= 2)
