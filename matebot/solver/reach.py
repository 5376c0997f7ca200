"""Attractors: from where one side can force a goal while staying inside a zone, and how long a chain of them lasts.

The same backward moves as in `retrograde`, with any set of positions in the place of mate.
"""

from __future__ import annotations

import numpy as np

from matebot.solver.codes import DRAW, ILLEGAL, pack
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement
from matebot.solver.retrograde import Distances

#: A set of positions for each side to move (True: White).
Sides = dict[bool, Words]


def sets_of(codes: Codes, low: int, high: int) -> Words:
    """Return the set of positions with a code in ``low..high``; codes in the reduced layout."""
    return pack(np.moveaxis(np.moveaxis((codes >= low) & (codes <= high), 0, -1), 0, -1))


class Game:
    """An ending that White, having the stronger men, tries to win.

    Parameters
    ----------
    codes : the ending's DTM codes by side to move, in the reduced layout

    Attributes
    ----------
    won : White to move and wins; lost: Black to move and loses; legal: legal positions, by side to move
    """

    def __init__(self, material: Material, codes: dict[bool, Codes]) -> None:
        self.placement = Placement(material)
        self.moves = Moves(self.placement)
        self.legal = {side: sets_of(codes[side], 0, ILLEGAL - 1) for side in (True, False)}
        self.won = sets_of(codes[True], 0, DRAW - 1)
        self.lost = sets_of(codes[False], 0, DRAW - 1)
        self.mated = sets_of(codes[False], 0, 0)

    def before(self, reached: Words, white: bool) -> Words:
        """Return the placements from which a quiet move of a side leads into a set."""
        return self.moves.before(reached, white, self.placement.empty())

    def cornered(self, inside: Words) -> Words:
        """Return the positions lost for Black, not mate yet, in which each of his moves leads into a set."""
        return self.lost & ~self.mated & ~self.before(self.legal[True] & ~inside, False)

    def region(self, goal: Sides, zone: Words, exits: Words | None = None) -> Sides:
        """Return the positions from which White forces the goal without leaving the zone; the goal is included.

        Parameters
        ----------
        goal : positions by side to move; they need not lie in the zone
        zone : set of placements, either side to move
        exits : positions, White to move, from which a move out of the ending is the goal too
        """
        known = {side: goal[side].copy() for side in (True, False)}
        fresh = known[False]
        leaving = self.placement.empty() if exits is None else exits
        while True:
            found = (self.before(fresh, True) | leaving) & self.won & zone & ~known[True]
            known[True] |= found
            fresh = self.cornered(known[True]) & zone & ~known[False]
            known[False] |= fresh
            if not found.any() and not fresh.any():
                return known

    def totals(self, regions: list[Sides], exits: list[Words | None]) -> dict[bool, Distances]:
        """Return the plies to the end when White never goes back from a region to one it came from.

        Parameters
        ----------
        regions : disjoint sets by side to move, in the order of play; together all positions White wins
        exits : ``exits[n]`` the positions, White to move, from which a move out of the ending ends in n more plies

        Notes
        -----
        White makes it short, Black long, so the distance falls with every ply and no region is entered twice.
        """
        found = {side: Distances(self.placement.shape) for side in (True, False)}
        fresh = self.mated
        found[False].add(fresh, True, 0)
        ply = 0
        while fresh.any() or ply < len(exits):
            ply += 1
            won = self._forward(fresh, regions)
            leaving = exits[ply - 1] if ply - 1 < len(exits) else None
            if leaving is not None:
                won |= leaving & self.won
            won &= ~found[True].known[True]
            found[True].add(won, True, ply)
            ply += 1
            fresh = self.cornered(found[True].known[True]) & ~found[False].known[True]
            found[False].add(fresh, True, ply)
        return found

    def _forward(self, reached: Words, regions: list[Sides]) -> Words:
        """Return the positions before a White move into a set that does not lead back to an earlier region."""
        allowed, out = self.placement.empty(), self.placement.empty()
        for region in regions:
            allowed |= region[True]
            part = reached & region[False]
            if part.any():
                out |= self.before(part, True) & allowed
        return out
