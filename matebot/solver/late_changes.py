"""The shortest mates in time when some positions may not be entered: what that changes, one layer after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from matebot.solver.batches import Numbers, Squares
from matebot.solver.codes import ILLEGAL
from matebot.solver.layers import DISTANCES, Chain, Plies
from matebot.solver.lookup import Stand
from matebot.solver.repetition import NEVER

#: Positions whose distance is worked out anew before it is given up.
_NODES = 30_000


class LateChanges:
    """Which positions of a chain are worth something else when some may not be entered, and what.

    Parameters
    ----------
    banned : positions of the ending in canonical form that have occurred twice
    """

    def __init__(self, chain: Chain, banned: Iterable[Stand]) -> None:
        self._chain, self._batches = chain, chain.batches
        stands = list(banned)
        self._banned = {
            side: np.unique(np.array([self._batches.number(s) for s in stands if s.white_to_move == side], np.int64))
            for side in (True, False)
        }
        #: By plies left the positions that have changed, ascending, and their distances.
        self._changed: list[tuple[Numbers, Plies]] = []
        self._nodes = _NODES

    def mate_plies(self, stand: Stand, left: int, heartbeat: Callable[[int], None]) -> int | None:
        """Return the plies to mate in time of a position once it is entered, `NEVER` without one.

        None when that takes too long to find out.
        """
        while len(self._changed) < left:
            if self._nodes < 0:
                return None
            heartbeat(0)
            self._advance()
        return int(self._worth(self._batches.of([stand]), left)[0])

    def _advance(self) -> None:
        chain, left = self._chain, len(self._changed)
        side = chain.white_moves(left)
        banned = self._banned[side]
        spoilt = banned[chain.distances(self._batches.squares(banned), left) < NEVER]
        numbers, now = spoilt, np.full(len(spoilt), NEVER, np.int16)
        if left:
            before, _ = self._batches.quiet(self._batches.squares(self._changed[-1][0]), side)
            found = np.setdiff1d(self._batches.numbers(before), banned)
            was = chain.distances(self._batches.squares(found), left)
            found, was = found[was < NEVER], was[was < NEVER]
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
        choose.at(worth, parents, DISTANCES[chain.ground.winner][codes].astype(np.int16))
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
