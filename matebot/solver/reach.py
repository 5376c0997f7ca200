"""Reaching goals: from where one side can force a goal while staying inside a zone, and how long a chain of them lasts.

The same kernel as for distances to mate, with any set of positions in the place of mate.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import accumulate
from math import prod

import numpy as np

from matebot.solver.attractor import Attractor, Distances
from matebot.solver.codes import DRAW, ILLEGAL, PAWN_RANKS
from matebot.solver.conversions import ChildTable
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.placement import Placement
from matebot.solver.turning import exchange

#: A set of positions for each side to move (True: White).
Sides = dict[bool, Words]


def sets_of(codes: Codes, end: int) -> Words:
    """Return the set of positions with a code below one; codes in the reduced layout."""
    kings, men = len(codes), codes.shape[2:]
    found = np.empty((prod(men) // 8, 8, kings), np.uint64)
    for king, rows in enumerate(codes):
        among = rows < np.uint8(end)
        bytes_ = among.view(np.uint64).reshape(8, 8, -1)
        octets = bytes_[:, 0].copy()
        for square in range(1, 8):
            octets |= bytes_[:, square] << np.uint64(square)
        exchange(octets, 8)
        found[:, :, king] = octets.T
    return found.reshape(*men, kings)


class Game:
    """An ending that White, having the stronger men, tries to win.

    Parameters
    ----------
    codes : the ending's DTM codes by side to move, in the reduced layout; without them the positions are not known
        from which White wins, and `lost` holds all in which no capture of Black's saves him
    table : the codes that the positions of a child ending are worth to whoever follows the ladder: moves to mate by
        the method there, or by the shortest way where it has none

    Attributes
    ----------
    won : White to move and wins; lost: Black to move and loses; legal: legal positions, by side to move

    Raises
    ------
    ValueError
        where both sides have pawns: what a capture en passant does to a zone is not worked out
    """

    def __init__(
        self, material: Material, codes: dict[bool, Codes] | None, table: ChildTable, ranks: int = PAWN_RANKS
    ) -> None:
        self.placement = Placement(material, ranks=ranks)
        self._attractor = Attractor(self.placement, table)
        if self._attractor.en_passant.active:
            raise ValueError(f"expected an ending with the pawns of one side at most, got {material.name!r}")
        self.legal = self._attractor.legal
        self.mated = self._attractor.mated[False]
        if codes is None:
            saved = self._attractor.leaving(True, False, DRAW, ILLEGAL - 1)
            self.won, self.lost = self.legal[True], self._attractor.playable[False] & ~saved
        else:
            self.won = sets_of(codes[True], DRAW)
            self.lost = sets_of(codes[False], DRAW)

    def before(self, reached: Words, white: bool) -> Words:
        """Return the placements from which a quiet move of a side leads into a set."""
        return self._attractor.before(reached, white)

    @cached_property
    def exits(self) -> Words:
        """The positions, White to move, from which a capture or promotion keeps the win."""
        return self._attractor.leaving(True, True, 0, DRAW - 1) & self.won

    def region(self, goal: Sides, zone: Words, after_move: bool = False) -> Sides:
        """Return the positions from which White forces the goal without leaving the zone; the goal is included.

        A capture or promotion that keeps the win is the goal too.

        Parameters
        ----------
        goal : positions by side to move; they need not lie in the zone
        zone : set of placements
        after_move : whether White's moves alone must keep within the zone
        """
        known = {side: goal[side].copy() for side in (True, False)}
        open_ = (self.won if after_move else self.won & zone) & ~known[True]
        outside = self.legal[True] & ~known[True]
        waiting = self.lost & ~self.mated & zone & ~known[False]
        fresh = known[False] | self._shut_in(outside, waiting)
        known[False] |= fresh
        waiting &= ~fresh
        found = self.before(fresh, True) | self.exits
        while True:
            found &= open_
            known[True] |= found
            open_ ^= found
            outside ^= found
            fresh = self._shut_in(outside, waiting)
            if not fresh.any():
                return known
            known[False] |= fresh
            waiting ^= fresh
            found = self.before(fresh, True)

    def _shut_in(self, outside: Words, among: Words) -> Words:
        """Return those of some positions of Black's from which no quiet move leads into a set.

        His captures lead into another ending, which White wins all the same.
        """
        found = self.before(outside, False)
        np.invert(found, out=found)
        found &= among
        return found

    def totals(self, regions: list[Sides]) -> dict[bool, Distances]:
        """Return the moves to the end when White never goes back from a region to one it came from.

        Parameters
        ----------
        regions : disjoint sets by side to move, in the order of play; together all positions that are counted

        Notes
        -----
        White makes it short, Black long, so the distance in plies falls with every ply and no region is entered twice.
        """
        found = {side: Distances(self.placement.shape) for side in (True, False)}
        counted = {side: np.bitwise_or.reduce([region[side] for region in regions]) for side in (True, False)}
        ways = [(region[False], came_from) for region, came_from in zip(regions, _unions(regions), strict=True)]
        self._attractor.grow(
            True,
            found,
            forward=lambda reached: self._forward(reached, ways),
            allowed=lambda found, side: found & counted[side],
        )
        return found

    def _forward(self, reached: Words, ways: list[tuple[Words, Words]]) -> Words:
        """Return the positions before a White move into a set that does not lead back to an earlier region.

        `ways` : what is lost in each region, and from where White may enter it
        """
        sets, out = self._attractor.sets, self._attractor.sets.empty(self.placement.shape)
        for lost, came_from in ways:
            part = reached.copy()
            sets.keep(part, lost)
            if sets.some(part):
                found = self.before(part, True)
                sets.keep(found, came_from)
                sets.add(out, found)
                sets.spare(found)
        return out


def _unions(regions: list[Sides]) -> Iterator[Words]:
    """Yield for each region White's positions in it and in all before it."""
    return accumulate((region[True] for region in regions), np.bitwise_or)
