"""Values when some positions may not be entered any more because they would occur for the third time.

Such a position is drawn for whoever enters it, its mirror images are not. That changes the values of few others near
it, which are found from there, whole arrays of positions at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver.batches import Batches, Numbers, TooMuchWork
from matebot.solver.codes import ILLEGAL, MATE_PLIES, NOWHERE, white_wins
from matebot.solver.geometry import Codes
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.successors import Step

#: Plies to mate of many positions, shape (positions,).
Plies = NDArray[np.int16]
#: A distance that stands for a draw.
NEVER: Final = NOWHERE

#: Positions whose distance is worked out anew before it is given up, and looking into rows of five men, where a
#: position may cost a hundred times as much as another; see `Batches.allow`.
_NODES, _WORK = 30_000, 60_000
#: A distance that has grown by more plies is taken for a draw until it is known better.
_PATIENCE = 6
#: No mate is looked for that is further off: the most a byte holds.
_LONGEST = NEVER - 1


class Changes:
    """Which positions are worth something else when some may not be entered, and what: followed back from those.

    A position changes only where the one its value rests on has changed, so mostly there are few. First they are
    found: distances grow until all agree with those one move later, and one that grows for long is taken for a draw.
    Then the distances of those found are worked out anew: from the positions around them, which are sure not to have
    changed, down to where they agree again.

    A position whose mate is further off than the horizon is left as it is. Its distance can only grow, so distances
    below the horizon are right, and so are draws; what is not below it may be longer still.

    For example, White to move has Ke2 and Re5 against Kh1: Kf2 Kh2 Rh5 is mate, three plies. When the position after
    Kf2 has occurred twice, it is a draw for whoever enters it. Those that rested on it have the king on e1, e2 or e3:
    each has another way, of five plies. A move earlier Black had one that lasts longer than Kh1 in every position, so
    nothing further back has changed: four positions in all, with the banned one.

    Parameters
    ----------
    batches : of the ending
    banned : positions of the ending in canonical form that have occurred twice
    winner : the side whose wins are looked at, True for White
    horizon : plies
    heartbeat : called now and then; may raise to stop the work

    Attributes
    ----------
    complete : whether all changes below the horizon were found
    """

    def __init__(
        self,
        batches: Batches,
        banned: Iterable[CanonicalPosition],
        winner: bool,
        horizon: int = _LONGEST + 1,
        heartbeat: Callable[[int], None] = lambda plies: None,
    ) -> None:
        self._batches, self._winner, self.horizon, self._heartbeat = batches, winner, horizon, heartbeat
        self.banned = {side: _sorted(batches, banned, side) for side in (True, False)}
        self._now = _Now()
        self._nodes = _NODES
        batches.allow(_WORK)
        try:
            self._find()
            self._settle()
            self.complete = True
        except TooMuchWork:
            self.complete = False
        finally:
            batches.allow(None)
            self._plies = self._now.all()

    def plies(self, stand: CanonicalPosition) -> int | None:
        """Return the plies to mate after entering a position, `NEVER` where it is drawn, None where nothing changed."""
        return self._plies.get(self._batches.number(stand) * 2 + stand.white_to_move)

    def mate_plies(self, stand: CanonicalPosition, steps: Iterable[Step]) -> int:
        """Return the plies to mate of a position once it is entered, `NEVER` where it is drawn now.

        To be asked when the changes are `complete`, of positions of the ending, banned ones too.

        Parameters
        ----------
        steps : every legal move
        """
        found = [self._after(step) for step in steps]
        if stand.white_to_move == self._winner:
            return min(found, default=NEVER)
        return max(found, default=0)

    def distance(self, step: Step) -> int | None:
        """Return the plies to mate after a move, None where it leads to a draw; see `clocked`."""
        changed = None if step.zeroing else self.plies(step.child)
        return None if changed == NEVER else step.mate_plies if changed is None else changed

    def _after(self, step: Step) -> int:
        """Return the plies to mate from before a move; `NEVER` where it leads to a draw or worse."""
        distance = self.distance(step)
        if distance is None or white_wins(step.code) != self._winner:
            return NEVER
        return distance + 1 if distance < _LONGEST else NEVER

    def _find(self) -> None:
        waves = {side: (found, self._plain(found, side)) for side, found in self.banned.items()}
        for side, (found, plain) in waves.items():
            self._now.write(found, side, np.full(len(found), NEVER))
            waves[side] = found[plain < NEVER], plain[plain < NEVER]
        while any(len(found) for found, _ in waves.values()):
            waves = {not side: self._grow(*waves[side], side) for side in (True, False)}

    def _grow(self, fresh: Numbers, was: Plies, side: bool) -> tuple[Numbers, Plies]:
        """Let the distances grow of the positions before those that have grown, and return those that did.

        Parameters
        ----------
        fresh, was : positions with one side to move whose distances have grown, and what they were
        """
        before, plain, parents = self._before(fresh, side)
        at = self._now.read(before, not side, plain)
        attacks = (not side) == self._winner
        rests = at == was[parents] + 1 if attacks else at <= self._now.read(fresh, side, was)[parents]
        before, first = np.unique(before[rests], return_index=True)
        plain, at = plain[rests][first], at[rests][first]
        now = self._worth(before, not side)
        now[now > plain + _PATIENCE] = NEVER
        grown = now > at
        self._now.write(before[grown], not side, now[grown])
        return before[grown], at[grown]

    def _settle(self) -> None:
        changed = {side: np.setdiff1d(self._now.changed(side), self.banned[side]) for side in (True, False)}
        for side, found in changed.items():
            self._now.write(found, side, np.full(len(found), NEVER))
        waiting = changed
        while any(map(len, waiting.values())):
            fallen = {}
            for side, found in waiting.items():
                now = self._worth(found, side)
                lower = now < self._now.read(found, side, now)
                self._now.write(found[lower], side, now[lower])
                fallen[side] = found[lower]
            waiting = {
                not side: np.intersect1d(self._before(found, side)[0], changed[not side])
                for side, found in fallen.items()
            }

    def _before(self, found: Numbers, side: bool) -> tuple[Numbers, Plies, NDArray[np.intp]]:
        """Return the won positions before those given, their plain distances, and before which each is.

        `side` is to move in the positions given; banned positions and those not below the horizon are left out.
        """
        batch, parents = self._batches.quiet(self._batches.squares(found), not side)
        distances = self._distances(self._batches.codes(batch, not side), not side)
        numbers = self._batches.numbers(batch)
        those = np.flatnonzero(distances < self.horizon)
        those = those[~np.isin(numbers[those], self.banned[not side])]
        return numbers[those], distances[those], parents[those]

    def _worth(self, found: Numbers, side: bool) -> Plies:
        """Return the plies to mate of positions as those one move later have it now."""
        self._nodes -= len(found)
        if self._nodes < 0:
            raise TooMuchWork
        self._heartbeat(0)
        attacks = side == self._winner
        worth = np.full(len(found), NEVER - 1 if attacks else -1, np.int16)
        batch = self._batches.squares(found)
        after, parents = self._batches.quiet(batch, side)
        codes = self._batches.codes(after, not side)
        legal = np.flatnonzero(codes != ILLEGAL)
        plain = self._distances(codes[legal], not side)
        reached = self._now.read(self._batches.numbers(after[:, legal]), not side, plain)
        choose = np.minimum if attacks else np.maximum
        choose.at(worth, parents[legal], reached)
        codes, parents = self._batches.zeroing(batch, side)
        choose.at(worth, parents, self._distances(codes, not side))
        worth += 1
        worth[worth > _LONGEST] = NEVER
        return worth

    def _plain(self, found: Numbers, side: bool) -> Plies:
        return self._distances(self._batches.codes(self._batches.squares(found), side), side)

    def _distances(self, codes: Codes, white_to_move: bool) -> Plies:
        return MATE_PLIES[self._winner][white_to_move][codes].astype(np.int16)


class _Now:
    """Present distances of the positions that have changed, looked up by number: few out of many millions."""

    def __init__(self) -> None:
        self._numbers = {side: np.empty(0, np.int64) for side in (True, False)}  # ascending
        self._distances = {side: np.empty(0, np.int16) for side in (True, False)}

    def read(self, numbers: Numbers, side: bool, plain: Plies) -> Plies:
        """Return the distances of positions, `plain` where they have not changed."""
        known, found = self._numbers[side], plain.copy()
        if len(known):
            at = np.minimum(np.searchsorted(known, numbers), len(known) - 1)
            same = known[at] == numbers
            found[same] = self._distances[side][at[same]]
        return found

    def write(self, numbers: Numbers, side: bool, distances: Plies) -> None:
        """Set the distances of positions."""
        every = np.concatenate([numbers, self._numbers[side]])
        self._numbers[side], first = np.unique(every, return_index=True)
        self._distances[side] = np.concatenate([distances, self._distances[side]])[first].astype(np.int16)

    def changed(self, side: bool) -> Numbers:
        """Return the positions that have been written, ascending."""
        return self._numbers[side]

    def all(self) -> dict[int, int]:
        """Return everything by ``2 * number + side to move``."""
        found: dict[int, int] = {}
        for side in (True, False):
            found.update(zip((self._numbers[side] * 2 + side).tolist(), self._distances[side].tolist(), strict=True))
        return found


def _sorted(batches: Batches, stands: Iterable[CanonicalPosition], side: bool) -> Numbers:
    return np.unique(np.array([batches.number(s) for s in stands if s.white_to_move == side], np.int64))
