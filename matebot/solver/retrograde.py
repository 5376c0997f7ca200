"""Distances by retrograde analysis: sets of positions grow layer by layer from mate until nothing changes.

    won(n)  = legal, and some move leads into lost(n - 1)
    lost(n) = legal, not stalemate, and no move leads outside won(n - 1)

Each layer is a handful of array operations on whole sets; the layer numbers are kept as binary digits, one set for
each digit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from matebot.solver.codes import DRAW, FLIP, ILLEGAL, pack, unpack
from matebot.solver.conversions import ChildTable, Conversion, EnPassant, conversions
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement
from matebot.solver.symmetry import Reduction

#: Called between layers with the number of plies done; may raise to stop the work.
Heartbeat = Callable[[int], None]


class Distances:
    """Layer numbers of a growing set of positions, one side to move, as binary digits.

    Attributes
    ----------
    known : for the winner True (White) and False (Black), the set of positions decided so far
    """

    def __init__(self, shape: tuple[int, ...]) -> None:
        self.shape = shape
        self.known = {
            True: np.zeros(shape, dtype=np.uint64),
            False: np.zeros(shape, dtype=np.uint64),
        }
        self.digits: list[Words] = []

    def add(self, fresh: Words, winner: bool, number: int) -> None:
        """Record that the positions of a set are decided for a winner at this distance in plies."""
        self.known[winner] |= fresh
        for place in range(number.bit_length()):
            if place == len(self.digits):
                self.digits.append(np.zeros(self.shape, dtype=np.uint64))
            if number >> place & 1:
                self.digits[place] |= fresh

    def reduced(self, legal: Words) -> Codes:
        """Write the codes in the symmetry-reduced layout (see `codes`)."""
        men, kings = len(self.shape) - 1, self.shape[-1]
        table = np.empty((kings, 64, *self.shape[:-1]), dtype=np.uint8)
        for king in range(kings):
            number = np.zeros((*self.shape[:-1], 64), dtype=np.uint8)
            for place, digit in enumerate(self.digits):
                bits = unpack(digit[..., king])
                bits <<= place
                number |= bits
            codes = np.full(number.shape, DRAW, dtype=np.uint8)
            np.copyto(codes, number, where=unpack(self.known[True][..., king]).view(np.bool_))
            if self.known[False].any():
                np.copyto(
                    codes,
                    FLIP[number],
                    where=unpack(self.known[False][..., king]).view(np.bool_),
                )
            codes[unpack(legal[..., king]) == 0] = ILLEGAL
            table[king] = np.moveaxis(codes, men, 0)
        return table


@dataclass(frozen=True, slots=True)
class Solution:
    """Codes of one ending in the reduced layout, by side to move (True: White)."""

    material: Material
    dtm: dict[bool, Codes]
    dtz: dict[bool, Codes]


@dataclass(frozen=True, slots=True)
class _Exit:
    """A conversion seen by the would-be winner: codes turned so that small is good for him."""

    conversion: Conversion
    codes: Codes
    present: frozenset[int]

    def into(self, low: int, high: int) -> Words | None:
        """Placements from which the conversion leads to codes in ``low..high``; None where there are none."""
        if not any(low <= code <= high for code in self.present):
            return None
        return self.conversion.spread(pack((self.codes >= low) & (self.codes <= high)))


class Solver:
    """Solves one ending when the values of those it leads to are known.

    Parameters
    ----------
    table : gives the DTM codes of a child ending for one side to move
    heartbeat : called between layers
    banned : optional sets of positions by side to move that count as drawn (a third repetition)
    reduction : the symmetry to use; by default the ending's own
    """

    def __init__(
        self,
        material: Material,
        table: ChildTable,
        heartbeat: Heartbeat = lambda plies: None,
        banned: dict[bool, Words] | None = None,
        reduction: Reduction | None = None,
    ) -> None:
        self.material = material
        self.heartbeat = heartbeat
        self.placement = Placement(material, reduction)
        self.moves = Moves(self.placement)
        self.legal = self.placement.legal
        self.exits = conversions(self.placement, table)
        self.en_passant = EnPassant(self.placement, table)
        self._mated: dict[bool, Words] = {}
        self.playable = {side: self._playable(side) for side in (True, False)}
        self.banned = banned
        self.views = {winner: self._view(winner) for winner in (True, False)}

    def solve(self) -> Solution:
        """Work out both metrics for both sides to move."""
        dtm = {side: Distances(self.placement.shape) for side in (True, False)}
        for winner in (True, False):
            if self._men_of(winner):
                self._mates(winner, dtm)
        tables = {s: dtm[s].reduced(self.legal[s]) for s in (True, False)}
        if not any(self._converts(winner, dtm) for winner in (True, False) if self._men_of(winner)):
            return Solution(self.material, tables, tables)
        known = {side: dtm[side].known for side in (True, False)}
        del dtm
        dtz = {side: Distances(self.placement.shape) for side in (True, False)}
        for winner in (True, False):
            if self._men_of(winner):
                self._legs(winner, known, dtz)
        legs = {s: dtz[s].reduced(self.legal[s]) for s in (True, False)}
        return Solution(self.material, tables, legs)

    def _men_of(self, side: bool) -> str:
        return self.material.white if side else self.material.black

    def _view(self, winner: bool) -> list[_Exit]:
        seen = []
        for exit_ in self.exits:
            codes = exit_.codes if winner else FLIP[exit_.codes]
            present = frozenset(np.flatnonzero(np.bincount(codes.ravel(), minlength=256)).tolist())
            seen.append(_Exit(exit_, codes, present))
        return seen

    def _playable(self, side: bool) -> Words:
        """Positions in which a side has a legal move, or is checkmated: all but stalemates."""
        able = self.moves.before(self.legal[not side], side, self.placement.empty())
        for exit_ in self.exits:
            if exit_.white == side:
                able |= exit_.spread(pack(exit_.codes != ILLEGAL))
        self._mated[side] = self.legal[side] & self.placement.in_check[side] & ~able
        return self.legal[side] & (able | self.placement.in_check[side])

    def _spread(self, winner: bool, mover: bool, low: int, high: int, out: Words) -> Words:
        """Add the placements from which a side's captures and promotions lead to codes in ``low..high``."""
        for exit_ in self.views[winner]:
            if exit_.conversion.white == mover:
                found = exit_.into(low, high)
                if found is not None:
                    out |= found
        return out

    def _before(self, reached: Words, mover: bool, spoilt: tuple[int, int], winner: bool) -> Words:
        """Placements before a quiet move into `reached`, the capture en passant taken into account.

        `spoilt` is the range of codes (the winner's view) that a capture en passant must not lead to.
        """
        out = self.placement.empty()
        if not self.en_passant.active:
            return self.moves.before(reached, mover, out)
        self.moves.before(reached, mover, out, pawns=False)
        low, high = spoilt if winner else (254 - spoilt[1], 254 - spoilt[0])
        tempered = self.en_passant.without(reached, mover, low, high)
        for axis, (man, colour) in enumerate(self.placement.men):
            if man == "P" and colour == mover:
                self.moves.pawn_step(reached, axis, out)
                self.moves.double_step(tempered, axis, out)
        return out

    def _mates(self, winner: bool, dtm: dict[bool, Distances]) -> None:
        """Grow the sets won and lost by distance to mate, for one winner."""
        loser = not winner
        last_exit = max((c for e in self.views[winner] for c in e.present if c < DRAW), default=0)
        fresh = self._allowed(self._mated[loser], loser)
        dtm[loser].add(fresh, winner, 0)
        ply = 0
        while fresh.any() or ply <= last_exit + 1:
            self.heartbeat(ply)
            ply += 1
            # A side with a pawn that may capture en passant is never lost: the other is left with a bare king.
            found = self._before(fresh, winner, (0, 254), winner)
            self._spread(winner, winner, ply - 1, ply - 1, found)
            found &= self.legal[winner]
            found &= ~dtm[winner].known[winner]
            fresh = self._allowed(found, winner)
            dtm[winner].add(fresh, winner, ply)
            ply += 1
            open_ = self.legal[winner] & ~dtm[winner].known[winner]
            escapes = self._before(open_, loser, (0, ply - 2), winner)
            self._spread(winner, loser, ply, 254, escapes)
            np.invert(escapes, out=escapes)
            escapes &= self.playable[loser]
            escapes &= ~dtm[loser].known[winner]
            fresh = self._allowed(escapes, loser)
            dtm[loser].add(fresh, winner, ply)

    def _allowed(self, found: Words, side: bool) -> Words:
        return found if self.banned is None else found & ~self.banned[side]

    def _converts(self, winner: bool, dtm: dict[bool, Distances]) -> bool:
        """Whether any capture or pawn move keeps the win, so that the two metrics may differ."""
        return self.material.has_pawns or any(
            self._spread(winner, side, 0, DRAW - 1, self.placement.empty()).any() for side in (True, False)
        )

    def _zeroing(self, winner: bool, lost: Words) -> Words:
        """Placements from which the winner converts, or moves a pawn, into a position lost for the other side."""
        found = self._spread(winner, winner, 0, DRAW - 1, self.placement.empty())
        low, high = (0, 254)
        tempered = self.en_passant.without(lost, winner, low, high) if self.en_passant.active else lost
        for axis, (man, colour) in enumerate(self.placement.men):
            if man == "P" and colour == winner:
                self.moves.pawn_step(lost, axis, found)
                self.moves.double_step(tempered, axis, found)
        return found

    def _legs(
        self,
        winner: bool,
        known: dict[bool, dict[bool, Words]],
        dtz: dict[bool, Distances],
    ) -> None:
        """Grow the sets by distance to the next capture, pawn move or mate that keeps the win."""
        loser = not winner
        won, lost = known[winner][winner], known[loser][winner]

        def before(reached: Words, mover: bool) -> Words:
            out = self.placement.empty()
            return self.moves.before(reached, mover, out, pawns=False)

        mated = self._mated[loser] & lost
        dtz[loser].add(mated, winner, 0)
        first = before(mated, winner) | self._zeroing(winner, lost)
        fresh_won = self._allowed(first & won, winner)
        dtz[winner].add(fresh_won, winner, 1)
        fresh_lost = lost & ~mated & ~before(self.legal[winner], loser)
        dtz[loser].add(fresh_lost, winner, 1)
        ply = 1
        while fresh_won.any() or fresh_lost.any():
            self.heartbeat(ply)
            ply += 1
            next_won, next_lost = fresh_lost, fresh_won
            if fresh_lost.any():
                next_won = before(fresh_lost, winner) & won & ~dtz[winner].known[winner]
            if fresh_won.any():
                # positions won at exactly `ply` come only now, so what was known before them is what counts
                open_ = self.legal[winner] & ~dtz[winner].known[winner]
                next_lost = lost & ~before(open_, loser) & ~dtz[loser].known[winner]
            fresh_won, fresh_lost = next_won, next_lost
            dtz[winner].add(fresh_won, winner, ply)
            dtz[loser].add(fresh_lost, winner, ply)
