"""Attractors: how the side that wants to win forces it, layer by layer; the one kernel behind distances and ladders.

    won(n)  = legal, and some move leads into lost(n - 1), or out of the ending to a win in n - 1
    lost(n) = legal, not stalemate, and no move leads outside won(n - 1), or out of the ending to anything but that

Each layer is a handful of array operations on whole sets. What the moves out of the ending are worth is given from
outside: the shortest mate for distances, the way by the method for ladders.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from matebot.solver.codes import DRAW, FLIP, ILLEGAL, pack, unpack
from matebot.solver.conversions import ChildTable, Conversion, EnPassant, conversions
from matebot.solver.geometry import Codes, Words
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement

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
        """Record that the positions of a set are decided for a winner at this distance in plies.

        Raises
        ------
        OverflowError
            when there are such positions and no code can hold the distance
        """
        if number >= DRAW and fresh.any():
            raise OverflowError(f"expected distances below {DRAW} plies, the longest a code can hold, got {number}")
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


class Attractor:
    """The moves of one ending run backwards, those out of it included.

    Parameters
    ----------
    table : gives, for a child ending and a side to move, the codes its positions are worth

    Attributes
    ----------
    legal : legal positions by side to move (True: White), as everywhere below
    mated : positions in which a side is checkmated
    playable : positions in which a side has a legal move or is checkmated: all but stalemates
    """

    def __init__(self, placement: Placement, table: ChildTable) -> None:
        self.placement = placement
        self.moves = Moves(placement)
        self.legal = placement.legal
        self.exits = conversions(placement, table)
        self.en_passant = EnPassant(placement, table)
        self.mated: dict[bool, Words] = {}
        self.playable = {side: self._playable(side) for side in (True, False)}
        self._views = {winner: self._view(winner) for winner in (True, False)}

    def _view(self, winner: bool) -> list[_Exit]:
        seen = []
        for exit_ in self.exits:
            codes = exit_.codes if winner else FLIP[exit_.codes]
            present = frozenset(np.flatnonzero(np.bincount(codes.ravel(), minlength=256)).tolist())
            seen.append(_Exit(exit_, codes, present))
        return seen

    def _playable(self, side: bool) -> Words:
        able = self.moves.before(self.legal[not side], side, self.placement.empty())
        for exit_ in self.exits:
            if exit_.white == side:
                able |= exit_.spread(pack(exit_.codes != ILLEGAL))
        self.mated[side] = self.legal[side] & self.placement.in_check[side] & ~able
        return self.legal[side] & (able | self.placement.in_check[side])

    def leaving(self, winner: bool, mover: bool, low: int, high: int, out: Words | None = None) -> Words:
        """Return the placements from which a side's captures and promotions lead to codes in ``low..high``.

        Parameters
        ----------
        winner : the side whose view the codes are: small is good for it
        out : added to, and returned, where given
        """
        out = self.placement.empty() if out is None else out
        for exit_ in self._views[winner]:
            if exit_.conversion.white == mover:
                found = exit_.into(low, high)
                if found is not None:
                    out |= found
        return out

    def before(self, reached: Words, mover: bool, spoilt: tuple[int, int] = (0, 254), winner: bool = True) -> Words:
        """Return the placements before a quiet move into a set, the capture en passant taken into account.

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

    def grow(
        self,
        winner: bool,
        out: dict[bool, Distances],
        forward: Callable[[Words], Words] | None = None,
        allowed: Callable[[Words, bool], Words] = lambda found, side: found,
        heartbeat: Heartbeat = lambda plies: None,
    ) -> None:
        r"""Add to `out` the positions a side wins and those the other loses, by their plies, from mate on.

        The layers, by whose move it is; an arrow is a move, the plies count down along it::

            winner to move      5      3      1
                                 \    / \    / \
            loser to move          4      2      0 = mated

        Parameters
        ----------
        forward : returns the winner's positions before a quiet move into a set; by default every such move
        allowed : keeps of a set, for a side to move, what may be entered at all
        """
        loser = not winner
        last_exit = max((c for e in self._views[winner] for c in e.present if c < DRAW), default=0)
        fresh = allowed(self.mated[loser], loser)
        out[loser].add(fresh, winner, 0)
        ply = 0
        while fresh.any() or ply <= last_exit + 1:
            heartbeat(ply)
            ply += 1
            # A side with a pawn that may capture en passant is never lost: the other is left with a bare king.
            found = self.before(fresh, winner, (0, 254), winner) if forward is None else forward(fresh)
            self.leaving(winner, winner, ply - 1, ply - 1, found)
            found &= self.legal[winner]
            found &= ~out[winner].known[winner]
            fresh = allowed(found, winner)
            out[winner].add(fresh, winner, ply)
            ply += 1
            open_ = self.legal[winner] & ~out[winner].known[winner]
            escapes = self.before(open_, loser, (0, ply - 2), winner)
            self.leaving(winner, loser, ply, 254, escapes)
            np.invert(escapes, out=escapes)
            escapes &= self.playable[loser]
            escapes &= ~out[loser].known[winner]
            fresh = allowed(escapes, loser)
            out[loser].add(fresh, winner, ply)
