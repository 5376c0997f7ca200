"""The shortest mates in time when some positions may not be entered: what that changes, one layer after the other.

With every ply both the way to mate and the plies left grow shorter by one, so a mate stays as many plies beyond the
count as it was. Positions whose mate is further beyond it than the horizon are left as they are; as in `repetition`,
what is found within the horizon is right, and so are draws.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from matebot.solver.batches import Numbers, Squares
from matebot.solver.codes import ILLEGAL, MATE_PLIES
from matebot.solver.layers import Chain, Plies
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.repetition import NEVER

#: Positions whose distance is worked out anew before it is given up.
_NODES = 30_000


class LateChanges:
    """Which positions of a chain are worth something else when some may not be entered, and what.

    Parameters
    ----------
    banned : positions of the ending in canonical form that have occurred twice
    horizon : plies beyond the count
    """

    def __init__(self, chain: Chain, banned: Iterable[CanonicalPosition], horizon: int = NEVER) -> None:
        self._chain, self._batches, self.horizon = chain, chain.batches, horizon
        stands = list(banned)
        self._banned = {
            side: np.unique(np.array([self._batches.number(s) for s in stands if s.white_to_move == side], np.int64))
            for side in (True, False)
        }
        self._nearest = {side: self._plain(side) for side in (True, False)}
        #: By plies left the positions that have changed, ascending, and their distances.
        self._changed: list[tuple[Numbers, Plies]] = []
        self._nodes = _NODES

    def mate_plies(self, stand: CanonicalPosition, left: int, heartbeat: Callable[[int], None]) -> int | None:
        """Return the plies to mate in time of a position once it is entered, `NEVER` without one.

        It is right up to `left + horizon`, beyond that it may be too small. None when it takes too long to find out.
        """
        while len(self._changed) < left:
            if self._nodes < 0:
                return None
            heartbeat(0)
            self._advance()
        batch = self._batches.of([stand])
        if not len(self._changed[left - 1][0]):  # none of those one move later
            return int(self._chain.distances(batch, left)[0])
        return int(self._worth(batch, left)[0])

    def _plain(self, side: bool) -> int:
        """Return the least distance without a clock of the banned positions with one side to move."""
        codes = self._batches.codes(self._batches.squares(self._banned[side]), side)
        return int(MATE_PLIES[self._chain.ground.winner][side][codes].min(initial=NEVER))

    def _advance(self) -> None:
        chain, left = self._chain, len(self._changed)
        side, most = chain.white_moves(left), min(left + self.horizon, NEVER - 1)
        banned = self._banned[side]
        numbers = np.empty(0, np.int64)
        if self._nearest[side] <= most:
            numbers = banned[chain.distances(self._batches.squares(banned), left) <= most]
        now = np.full(len(numbers), NEVER, np.int16)
        if left and len(self._changed[-1][0]):
            before, _ = self._batches.quiet(self._batches.squares(self._changed[-1][0]), side)
            found = np.setdiff1d(self._batches.numbers(before), banned)
            was = chain.distances(self._batches.squares(found), left)
            found, was = found[was <= most], was[was <= most]
            worth = self._worth(self._batches.squares(found), left)
            numbers = np.concatenate([numbers, found[worth > was]])
            now = np.concatenate([now, worth[worth > was]])
        order = np.argsort(numbers)
        self._changed.append((numbers[order], now[order]))

    def _worth(self, batch: Squares, left: int) -> Plies:
        """Return the plies to mate of positions by those one move later."""
        chain = self._chain
        self._nodes -= batch.shape[1]
        side, attacks = chain.white_moves(left), chain.winner_moves(left)
        worth = np.full(batch.shape[1], NEVER - 1 if attacks else -1, np.int16)
        choose = np.minimum if attacks else np.maximum
        after, parents = self._batches.quiet(batch, side)
        legal = np.flatnonzero(self._batches.codes(after, not side) != ILLEGAL)
        choose.at(worth, parents[legal], self._reached(after[:, legal], left - 1))
        codes, parents = self._batches.zeroing(batch, side)
        choose.at(worth, parents, MATE_PLIES[chain.ground.winner][not side][codes].astype(np.int16))
        return np.minimum(worth + 1, NEVER).astype(np.int16)

    def _reached(self, batch: Squares, left: int) -> Plies:
        found = self._chain.distances(batch, left)
        numbers, now = self._changed[left]
        if len(numbers):
            wanted = self._batches.numbers(batch)
            at = np.minimum(np.searchsorted(numbers, wanted), len(numbers) - 1)
            same = numbers[at] == wanted
            found[same] = now[at[same]]
        return found
