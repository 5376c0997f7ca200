r"""Distances to the next capture, pawn move or mate that keeps the win, the fifty-move rule in force: legs, in plies.

Within a leg pawns stand still, so an ending falls into slabs in which each pawn keeps to a rank, and a pawn move leads
into a slab further on. The slabs furthest on come first: whether the leg after a pawn move is in time is known then.

Either side may end a leg, so it may be odd or even for both. The layers, a line being a quiet move::

    winner to move            won 1   won 2   won 3
                             /     \ /     \ /
    loser to move     mated   lost 1  lost 2  lost 3

A position is won in n by one move into lost n - 1, or in 1 by a capture or pawn move that wins in time; it is lost in n
when every quiet move leads into won 1 to n - 1, one of them into the last, and no other move saves it. So both layers n
are made of the layers n - 1, and neither of the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy
from itertools import product

from matebot.solver.attractor import Attractor, Distances, Heartbeat
from matebot.solver.codes import MOST, TOO_LONG
from matebot.solver.crew import Crew
from matebot.solver.geometry import Words
from matebot.solver.placement import Placement
from matebot.solver.tools import tools

#: By side to move, the positions that each winner wins.
Known = dict[bool, dict[bool, Words]]
_Cut = tuple[slice, ...]


class Legs:
    """Finds the legs of an ending whose won positions are known.

    Parameters
    ----------
    attractor : its exits lead to wins in time only
    heartbeat : called between layers, with pawns between slabs
    """

    def __init__(self, attractor: Attractor, crew: Crew, heartbeat: Heartbeat) -> None:
        self._attractor, self._crew, self._heartbeat = attractor, crew, heartbeat
        self._levels = list(_levels(attractor.placement))

    def add(self, winner: bool, known: Known, legs: dict[bool, Distances]) -> None:
        """Add the legs of one winner; those of more than a hundred plies are `TOO_LONG`."""
        loser = not winner
        for cuts in self._levels:
            zeroing = self._zeroing(winner, legs[loser].known[winner])
            spoiling = self._spoiling(winner, known[winner][winner] & ~legs[winner].known[winner])
            for number, cut in enumerate(cuts):
                if len(self._levels) > 1:
                    self._heartbeat(number)
                slab = _Slab(self._attractor, self._crew, self._heartbeat, cut)
                whole = legs if len(cuts) == len(self._levels) == 1 else None
                found = slab.legs(winner, known, zeroing[cut], spoiling[cut], whole)
                for side in (True, False) if whole is None else ():
                    legs[side].put(cut, found[side], winner)
        for side in (True, False):
            legs[side].add(known[side][winner] & ~legs[side].known[winner], winner, TOO_LONG)

    def _zeroing(self, winner: bool, lost: Words) -> Words:
        """Placements from which the winner converts, or moves a pawn, into a position lost for the other side."""
        found = self._attractor.leaving(winner, winner, 0, MOST[winner])
        self._attractor.pawns_before_lost(lost, lost, winner, MOST[winner], found)
        return found

    def _spoiling(self, winner: bool, late: Words) -> Words:
        """Placements from which the loser's captures and pawn moves lead to where the win takes too long."""
        found = self._attractor.leaving(winner, not winner, MOST[winner] + 1, 254)
        if self._attractor.sets.some(late):
            self._attractor.pawns_before_open(late, winner, MOST[winner], found)
        return found


def _levels(placement: Placement) -> Iterator[list[_Cut]]:
    """Yield the slabs of an ending as parts of its sets, those in which the pawns are furthest on first."""
    pawns = [(axis, white) for axis, (man, white) in enumerate(placement.men) if man == "P"]
    levels: dict[int, list[_Cut]] = {}
    for ranks in product(range(6), repeat=len(pawns)):
        cut = [slice(None)] * len(placement.shape)
        for (axis, white), advance in zip(pawns, ranks, strict=True):
            rank = advance if white else 5 - advance
            cut[axis] = slice(8 * rank, 8 * rank + 8)
        levels.setdefault(sum(ranks), []).append(tuple(cut))
    yield from (levels[advance] for advance in sorted(levels, reverse=True))


class _Slab:
    """A part of an ending in which no pawn leaves its rank; its sets are parts of the ending's."""

    def __init__(self, attractor: Attractor, crew: Crew, heartbeat: Heartbeat, cut: _Cut) -> None:
        self._attractor, self._crew, self._cut = attractor, crew, cut
        whole = attractor.placement
        self.placement = copy(whole)
        self.placement.at = [squares[part] for squares, part in zip(whole.at, cut, strict=True)]
        self.placement.shape = tuple(len(squares) for squares in self.placement.at)
        self.placement.apart = self._of(whole.apart)
        is_whole = self.placement.shape == whole.shape
        moves = attractor.moves
        self._sets = attractor.sets
        self._moves = moves if is_whole else tools(self.placement, crew, moves.heeds_among)[1]
        self._heartbeat: Heartbeat = heartbeat if is_whole else lambda plies: crew.pulse()

    def _of(self, whole: Words) -> Words:
        return whole[self._cut].copy()

    def _before(self, reached: Words, mover: bool, among: Words | None = None) -> Words:
        return self._moves.before(reached, mover, self._sets.empty(self.placement.shape), pawns=False, among=among)

    def legs(
        self,
        winner: bool,
        known: Known,
        zeroing: Words,
        spoiling: Words,
        legs: dict[bool, Distances] | None = None,
    ) -> dict[bool, Distances]:
        """Return the legs of at most a hundred plies.

        Parameters
        ----------
        legs : what they are added to, where the slab is the whole ending
        zeroing : placements from which the winner's captures and pawn moves win in time
        spoiling : placements from which some of the loser's do not lose in time
        """
        loser, sets = not winner, self._sets
        if legs is None:
            legs = {side: Distances(self.placement.shape, sets) for side in (True, False)}
        won, lost = self._of(known[winner][winner]), self._of(known[loser][winner])
        legal, mated = self._of(self._attractor.legal[winner]), self._of(self._attractor.mated[loser]) & lost
        legs[loser].add(mated, winner, 0)
        fresh_won = (self._before(mated, winner) | zeroing) & won
        legs[winner].add(fresh_won, winner, 1)
        keeping = lost & ~spoiling & ~mated
        fresh_lost = keeping & ~self._before(legal, loser)
        legs[loser].add(fresh_lost, winner, 1)
        for one, less in ((keeping, fresh_lost), (won, fresh_won), (legal, fresh_won)):
            sets.drop(one, less)
        for ply in range(2, TOO_LONG):
            more_won, more_lost = sets.some(fresh_won), sets.some(fresh_lost)
            if not (more_won or more_lost):
                break
            self._heartbeat(ply - 1)
            # positions won at exactly `ply` come only now, so what was known before them is what counts
            none = self.placement.shape
            next_lost = self._cornered(fresh_won, legal, keeping, loser) if more_won else sets.empty(none)
            next_won = self._before(fresh_lost, winner) if more_lost else sets.empty(none)
            sets.spare(fresh_won, fresh_lost)
            fresh_won, fresh_lost = next_won, next_lost
            legs[winner].add(fresh_won, winner, ply, won)
            legs[loser].add(fresh_lost, winner, ply, keeping)
            sets.drop(legal, fresh_won)
        return legs

    def _cornered(self, found: Words, open_: Words, waiting: Words, loser: bool) -> Words:
        """Return of what waits that from which no quiet move leads into an open set; `found` was open before."""
        if not self._moves.can_spare(found):
            return self._sets.without(waiting, self._before(open_, loser))
        among = self._before(found, loser)
        self._sets.keep(among, waiting)
        escapes = self._before(open_, loser, among)
        self._sets.drop(among, escapes)
        self._sets.spare(escapes)
        return among
