"""The shortest mates that clock and history leave open: worked out for a set of tables, and kept for a while."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, Protocol

from matebot.solver.batches import Batches
from matebot.solver.geometry import Codes
from matebot.solver.late_changes import LateChanges
from matebot.solver.layers import Chain, Ground
from matebot.solver.lookup import CanonicalPosition, Row, Value
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.repetition import NEVER, Changes
from matebot.solver.successors import Step

__all__ = ["LONGEST_DTM_PLIES", "NEVER", "Ways", "most_plies_after_zeroing"]

#: The longest distance to mate in any ending of up to four men (king and rook against king and pawn, which the pawn
#: wins), by whether the winner is to move; a test holds it against the codes of all endings.
LONGEST_DTM_PLIES: Final = {True: 85, False: 84}
#: No win takes longer than this to the next capture, pawn move or mate.
_LEG_PLIES: Final = 100
#: Distances to mate are followed around repeated positions in bands of so many plies, and no further than any goes.
_BAND, _FURTHEST = 16, NEVER
_DETOURS_KEPT = 16
_BATCHES_KEPT = 3
_CHAINS_BYTES = 96 << 20
#: How many plies before a mate can come after the count its layers are begun.
_AHEAD = 8


class Solved(Protocol):
    """What is asked of the tables."""

    def codes(self, material: Material, white_to_move: bool) -> Codes: ...
    def row(self, material: Material, white_to_move: bool, king_class: int, black_king: int) -> Row: ...
    def value_of(self, stand: CanonicalPosition) -> Value: ...
    def remembered_steps(self, stand: CanonicalPosition) -> list[Step]: ...
    def longest(self, material: Material) -> tuple[int, str]: ...
    def heartbeat(self, plies_done: int) -> None: ...


class Detour:
    """The ways around some positions that have occurred twice, in the wins of one side; found as far as they matter.

    Parameters
    ----------
    twice : the positions in canonical form
    winner : the side that wins, True for White in the canonical form
    """

    def __init__(self, ways: Ways, material: Material, twice: frozenset[CanonicalPosition], winner: bool) -> None:
        self._ways, self._tables, self._batches = ways, ways.tables, ways.batches(material)
        self._twice, self._winner = twice, winner
        self._changes: Changes | None = None
        self._late: dict[tuple[Chain, int], LateChanges] = {}
        self._known: dict[tuple[CanonicalPosition, int], int | None] = {}
        #: The nearest horizon that was too far to look.
        self._too_far = _FURTHEST + 1

    def mate_plies(self, stand: CanonicalPosition, value: Value, left: int) -> int | None:
        """Return the plies to mate of a position, `NEVER` where it is drawn now, None where that takes too long.

        Parameters
        ----------
        value : what it is worth when nothing is banned, a win or a loss
        left : plies until the hundredth without capture or pawn move
        """
        key = stand, left
        if key not in self._known:
            self._known[key] = self._find(stand, value, left)
        return self._known[key]

    def _find(self, stand: CanonicalPosition, value: Value, left: int) -> int | None:
        found = self._without_clock(stand, value, left)
        if found is None or found <= left or found == NEVER:
            return found
        if stand.material is not None and is_large(stand.material):
            return None  # the layers would take too much memory
        chain = self._ways.chain(stand, self._winner, left)
        beyond = int(chain.distances(self._batches.of([stand]), left)[0]) - left
        for horizon in ((max(beyond, 0) // _BAND + 1) * _BAND, NEVER):
            key = chain, horizon
            if key not in self._late:
                self._late[key] = LateChanges(chain, self._twice, horizon)
            found = self._late[key].mate_plies(stand, left, self._tables.heartbeat)
            if found is None or found <= left + horizon or found == NEVER:
                return found
        return None

    def _without_clock(self, stand: CanonicalPosition, value: Value, left: int) -> int | None:
        """Return the same as far as it is in time; any larger number where it is not."""
        steps = self._tables.remembered_steps(stand)
        nearest = ((value.dtm_plies or 0) // _BAND + 1) * _BAND
        for horizon in (nearest, nearest + _BAND, _FURTHEST):
            changes = self._up_to(min(horizon, _FURTHEST))
            if changes is None:
                return None
            found = changes.mate_plies(stand, steps)
            if found < changes.horizon or found == NEVER or found > left:
                return found
        return None

    def _up_to(self, horizon: int) -> Changes | None:
        """Return the changes up to a horizon or beyond, None where that is too much."""
        if self._changes is None or self._changes.horizon < horizon:
            if horizon >= self._too_far:
                return None
            changes = Changes(self._batches, self._twice, self._winner, horizon, self._tables.heartbeat)
            if not changes.complete:
                self._too_far = horizon
                return None
            self._changes = changes
        return self._changes


class Ways:
    """What has been worked out for a set of tables; the oldest is forgotten first."""

    def __init__(self, tables: Solved) -> None:
        self.tables = tables
        self._batches: dict[Material, Batches] = {}
        self._detours: dict[tuple[Material, frozenset[CanonicalPosition], bool], Detour] = {}
        self._chains: dict[tuple[Material, tuple[int, ...], bool, int], Chain] = {}
        self._longest: dict[Material, int] = {}

    def in_time(self, stand: CanonicalPosition, winner: bool, left: int) -> int | None:
        """Return the plies to mate of a position won in time, though its shortest mate is too late.

        None with five men, whose layers would take too much memory.
        """
        if stand.material is not None and is_large(stand.material):
            return None
        chain = self.chain(stand, winner, left)
        return int(chain.distances(chain.batches.of([stand]), left)[0])

    def detour(self, material: Material, twice: frozenset[CanonicalPosition], winner: bool) -> Detour:
        """Return the ways around some positions of an ending."""
        key = material, twice, winner
        found = self._detours.pop(key, None)
        if found is None:
            found = Detour(self, material, twice, winner)
        self._detours[key] = found
        _shorten(self._detours, _DETOURS_KEPT)
        return found

    def look_ahead(self, stand: CanonicalPosition, left: int, heartbeat: Callable[[int], None]) -> None:
        """Work out beforehand what the next questions of a game will ask for, where the clock is about to matter.

        Parameters
        ----------
        stand : a position of the game whose ending is ready
        left : plies until the hundredth without capture or pawn move
        heartbeat : called between layers; may raise to stop the work, what is done so far stays done
        """
        value = self.tables.value_of(stand)
        if stand.material is None or value.dtm_plies is None or value.dtm_plies == value.dtz_plies:
            return
        if is_large(stand.material):
            return
        winner = (value.outcome == 1) == stand.white_to_move
        longest = self._longest_plies(stand.material) if winner else LONGEST_DTM_PLIES[True]
        if left < longest + _AHEAD:
            self.chain(stand, winner, left, heartbeat)

    def _longest_plies(self, material: Material) -> int:
        """Return the longest win of an ending; it is asked for after every answer, and finding it reads the table."""
        if material not in self._longest:
            self._longest[material] = self.tables.longest(material)[0]
        return self._longest[material]

    def chain(
        self,
        stand: CanonicalPosition,
        winner: bool,
        left: int,
        heartbeat: Callable[[int], None] | None = None,
    ) -> Chain:
        """Return the layers to which a position with so many plies left belongs, grown so far.

        `heartbeat` is called between layers, that of the tables where none is given.
        """
        assert stand.material is not None
        pawns = tuple(square for square, (man, _) in zip(stand.men, stand.material.men, strict=True) if man == "P")
        parity = (left + (stand.white_to_move != winner)) % 2
        key = stand.material, pawns, winner, parity
        found = self._chains.pop(key, None)
        if found is None:
            twin = self._chains.get((stand.material, pawns, winner, 1 - parity))
            batches = self.batches(stand.material)
            ground = Ground(stand.material, pawns, winner, self.tables.codes, batches) if twin is None else twin.ground
            found = Chain(ground, batches, parity)
        self._chains[key] = found
        found.grow(left, heartbeat or self.tables.heartbeat)
        while len(self._chains) > 1 and sum(chain.nbytes for chain in self._chains.values()) > _CHAINS_BYTES:
            del self._chains[next(iter(self._chains))]
        return found

    def batches(self, material: Material) -> Batches:
        """Return the moves of batches of an ending."""
        found = self._batches.pop(material, None) or Batches(material, self.tables.codes, self.tables.row)
        self._batches[material] = found
        _shorten(self._batches, _BATCHES_KEPT)
        return found


def most_plies_after_zeroing(stand: CanonicalPosition, winner_moves: bool) -> int:
    """Return how many plies a win in time takes at most after the next capture or pawn move.

    With five men a win may go through a leg after each pawn move until a capture leaves four.

    Parameters
    ----------
    winner_moves : whether the winner is to move then
    """
    assert stand.material is not None
    most = LONGEST_DTM_PLIES[winner_moves]
    if is_large(stand.material):
        men = zip(stand.men, stand.material.men, strict=True)
        most += _LEG_PLIES * sum(7 - (s >> 3) if white else s >> 3 for s, (man, white) in men if man == "P")
    return most


def _shorten(kept: dict[Any, Any], most: int) -> None:
    while len(kept) > most:
        del kept[next(iter(kept))]
