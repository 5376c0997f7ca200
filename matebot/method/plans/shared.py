"""Zones that ladders of several endings have in common, and makers of zones."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matebot.method.squares import from_edge, king_steps, locks_edge

if TYPE_CHECKING:
    from matebot.method.zones import Zones
    from matebot.solver.geometry import Words


def everywhere(zones: Zones) -> Words:
    """Return all placements."""
    return zones.everywhere


def central_king(zones: Zones) -> Words:
    """Return where White's king is two steps or more from the edge."""
    return zones.everywhere & zones.white_king(lambda king: from_edge(king) >= 2)


def along_the_edge(zones: Zones) -> Words:
    """Return where Black's king is on the edge or next to it, and White's is not on it."""
    return zones.black_king(lambda s: from_edge(s) <= 1) & zones.white_king(lambda s: from_edge(s) >= 1)


def on_the_edge(zones: Zones) -> Words:
    """Return where Black's king is on the edge."""
    return zones.black_king(lambda s: from_edge(s) == 0)


def edge_held(zones: Zones, man: int) -> Words:
    """Return where Black's king is on the edge and a man holds the line next to it."""
    return on_the_edge(zones) & zones.black_king_by_man(man, locks_edge)


def king_at_hand(zones: Zones) -> Words:
    """Return where Black's king is on the edge and White's at most two steps from it."""
    return on_the_edge(zones) & zones.black_king_by_white_king(lambda white, black: king_steps(white, black) <= 2)


def before(pawn: int) -> int:
    """Return the square before a black pawn."""
    return max(pawn - 8, 0)


def pawn_held(zones: Zones, pieces: tuple[int, ...], pawn: int) -> Words:
    """Return where a pawn is held: blocked, or with it lifted off, king or the square before it under attack."""
    held = zones.black_king_by_man(pawn, lambda at, king: king == before(at))
    held = held | zones.white_king_by_man(pawn, lambda at, king: king_steps(king, before(at)) <= 1)
    for piece in pieces:
        held = held | zones.man_by_man(piece, pawn, lambda man, at: man == before(at))
        held = held | zones.attacks_through(piece, pawn) | zones.guards_through(piece, pawn, before)
    return zones.everywhere & held
