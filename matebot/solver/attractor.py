"""Attractors: how the side that wants to win forces it, layer by layer; the one kernel behind distances and ladders.

    won(n)  = legal, and some move leads into lost(n - 1), or out of the ending to a win in n - 1
    lost(n) = legal, not stalemate, and no move leads outside won(n), or out of the ending to anything but that

The number n counts the winner's moves.

Each layer is a handful of array operations on whole sets. What the moves out of the ending are worth is given from
outside: the shortest mate for distances, the way by the method for ladders.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from matebot.solver.codes import DRAW, ILLEGAL, MOST, code_of, pack, unpack
from matebot.solver.conversions import ChildTable, Conversion, EnPassant, conversions
from matebot.solver.geometry import Codes, Words
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement

#: Called between layers with the number of moves or plies done; may raise to stop the work.
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
        """Record that the positions of a set are decided for a winner at this distance.

        Raises
        ------
        OverflowError
            when there are such positions and no code can hold the distance
        """
        if number > MOST[winner] and fresh.any():
            code_of(number, winner)
        self.known[winner] |= fresh
        for place in range(number.bit_length()):
            if place == len(self.digits):
                self.digits.append(np.zeros(self.shape, dtype=np.uint64))
            if number >> place & 1:
                self.digits[place] |= fresh

    def forget(self, winner: bool) -> None:
        """Let go of what has been recorded for one winner."""
        for digit in self.digits:
            digit &= ~self.known[winner]
        self.known[winner] = np.zeros(self.shape, dtype=np.uint64)

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
                    np.uint8(254) - number,
                    where=unpack(self.known[False][..., king]).view(np.bool_),
                )
            codes[unpack(legal[..., king]) == 0] = ILLEGAL
            table[king] = np.moveaxis(codes, men, 0)
        return table


@dataclass(frozen=True, slots=True)
class _Exit:
    """A conversion and the codes it leads to."""

    conversion: Conversion
    present: frozenset[int]

    def into(self, low: int, high: int) -> Words | None:
        """Placements from which the conversion leads to codes in ``low..high``; None where there are none."""
        if not any(low <= code <= high for code in self.present):
            return None
        codes = self.conversion.codes
        return self.conversion.spread(pack((codes >= low) & (codes <= high)))


def _present(codes: Codes) -> frozenset[int]:
    found = np.zeros(256, np.int64)
    for part in codes:
        found += np.bincount(part.ravel(), minlength=256)
    return frozenset(np.flatnonzero(found).tolist())


def view(winner: bool, low: int, high: int) -> tuple[int, int]:
    """Return the lowest and the highest code behind ``low..high`` as a winner sees it.

    He sees his wins by their numbers, from 0 to ``MOST[winner]``, and beyond them, up to 254, what he does not win.

    >>> view(True, 3, 7), view(False, 3, 7), view(False, 3, 254)
    ((3, 7), (247, 251), (0, 251))
    """
    return (low, high) if winner else (254 - high, 254 - low)


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
        self._exits: list[_Exit] = []
        self.leads_to(table)
        self.en_passant = EnPassant(placement, table)
        self.mated: dict[bool, Words] = {}
        self.playable = {side: self._playable(side) for side in (True, False)}

    def _playable(self, side: bool) -> Words:
        able = self.moves.before(self.legal[not side], side, self.placement.empty())
        self.leaving(True, side, 0, 254, able)
        self.mated[side] = self.legal[side] & self.placement.in_check[side] & ~able
        return self.legal[side] & (able | self.placement.in_check[side])

    def leaving(self, winner: bool, mover: bool, low: int, high: int, out: Words | None = None) -> Words:
        """Return the placements from which a side's captures and promotions lead to ``low..high``, see `view`.

        Parameters
        ----------
        out : added to, and returned, where given
        """
        out = self.placement.empty() if out is None else out
        lowest, highest = view(winner, low, high)
        for exit_ in self._exits:
            if exit_.conversion.white == mover:
                found = exit_.into(lowest, highest)
                if found is not None:
                    out |= found
        return out

    def before(self, reached: Words, mover: bool) -> Words:
        """Return the placements before a quiet move into a set, captures en passant left out of account."""
        return self.moves.before(reached, mover, self.placement.empty())

    def before_lost(self, fresh: Words, lost: Words, winner: bool, high: int) -> Words:
        """Return the placements before a quiet move of the winner into a set that is lost for the other side.

        Parameters
        ----------
        fresh : the part that is wanted, `lost`: all of it
        high : a capture en passant must leave a win in so many moves at most
        """
        out = self.placement.empty()
        self.moves.before(fresh, winner, out, pawns=not self.en_passant.active)
        if self.en_passant.active:
            self.pawns_before_lost(fresh, lost, winner, high, out)
        return out

    def pawns_before_lost(self, fresh: Words, lost: Words, winner: bool, high: int, out: Words) -> None:
        """Add the placements before a pawn move, not promoting, into a set lost for the other side; see above."""
        for axis, (man, colour) in enumerate(self.placement.men):
            if man == "P" and colour == winner:
                self.moves.pawn_step(fresh, axis, out)
                landed = self.moves.landed(fresh, axis)
                if self.en_passant.active:
                    beaten = self.moves.landed(lost, axis) | self.moves.landed(self._stalemates(not winner), axis)
                    landed = self.en_passant.lost(landed, beaten, axis, *view(winner, 0, high))
                self.moves.double_step(landed, axis, out)

    def leads_to(self, table: ChildTable) -> None:
        """Let captures and promotions be worth what another table says from now on."""
        self._exits = []
        self._exits = [_Exit(exit_, _present(exit_.codes)) for exit_ in conversions(self.placement, table)]

    def _stalemates(self, side: bool) -> Words:
        return self.legal[side] & ~self.playable[side]

    def before_open(self, open_: Words, winner: bool, high: int) -> Words:
        """Return the placements before a quiet move of the loser into a set that the winner has not won yet.

        `high` : a capture en passant wins when it leads to a loss in so many moves at most.
        """
        loser, out = not winner, self.placement.empty()
        self.moves.before(open_, loser, out, pawns=not self.en_passant.active)
        if self.en_passant.active:
            self.pawns_before_open(open_, winner, high, out)
        return out

    def pawns_before_open(self, open_: Words, winner: bool, high: int, out: Words) -> None:
        """Add the placements before a pawn move of the loser, not promoting, into such a set; see above."""
        for axis, (man, colour) in enumerate(self.placement.men):
            if man == "P" and colour != winner:
                self.moves.pawn_step(open_, axis, out)
                landed = self.moves.landed(open_, axis)
                if self.en_passant.active:
                    landed = self.en_passant.won(landed, axis, *view(winner, 0, high))
                self.moves.double_step(landed, axis, out)

    def grow(
        self,
        winner: bool,
        out: dict[bool, Distances],
        forward: Callable[[Words], Words] | None = None,
        allowed: Callable[[Words, bool], Words] = lambda found, side: found,
        heartbeat: Heartbeat = lambda moves: None,
    ) -> None:
        r"""Add to `out` the positions a side wins and those the other loses, by its moves to mate.

        The layers, by whose move it is; an arrow is a move, the winner's moves count down along it::

            winner to move      3      2      1
                                 \    / \    / \
            loser to move          2      1      0 = mated

        Parameters
        ----------
        forward : returns the winner's positions before a quiet move into a set; by default every such move
        allowed : keeps of a set, for a side to move, what may be entered at all
        """
        loser = not winner
        codes = {code for exit_ in self._exits for code in exit_.present} | self.en_passant.present
        last_exit = max((n for n in range(MOST[winner] + 1) if code_of(n, winner) in codes), default=0)
        fresh = allowed(self.mated[loser], loser)
        out[loser].add(fresh, winner, 0)
        moves = 0
        while fresh.any() or moves <= last_exit:
            heartbeat(moves)
            moves += 1
            lost = out[loser].known[winner]
            found = self.before_lost(fresh, lost, winner, moves - 1) if forward is None else forward(fresh)
            self.leaving(winner, winner, moves - 1, moves - 1, found)
            found &= self.legal[winner]
            found &= ~out[winner].known[winner]
            out[winner].add(allowed(found, winner), winner, moves)
            open_ = self.legal[winner] & ~out[winner].known[winner]
            escapes = self.before_open(open_, winner, moves - 1)
            self.leaving(winner, loser, moves + 1, 254, escapes)
            np.invert(escapes, out=escapes)
            escapes &= self.playable[loser]
            escapes &= ~lost
            fresh = allowed(escapes, loser)
            out[loser].add(fresh, winner, moves)
