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
from math import prod

import numpy as np

from matebot.solver.codes import MOST, code_of, from_planes, pack
from matebot.solver.conversions import ChildTable, Conversion, EnPassant, conversions
from matebot.solver.crew import Crew, parts_of
from matebot.solver.geometry import Codes, Words
from matebot.solver.moves import Moves
from matebot.solver.placement import Placement

#: Called between layers with the number of moves or plies done; may raise to stop the work.
Heartbeat = Callable[[int], None]


class Distances:
    """Layer numbers of a growing set of positions, one side to move, as binary digits.

    Parameters
    ----------
    crew : shares the work on large sets

    Attributes
    ----------
    known : for the winner True (White) and False (Black), the set of positions decided so far
    """

    def __init__(self, shape: tuple[int, ...], crew: Crew | None = None) -> None:
        self.shape = shape
        self.known = {
            True: np.zeros(shape, dtype=np.uint64),
            False: np.zeros(shape, dtype=np.uint64),
        }
        self.digits: list[Words] = []
        self._crew = crew or Crew()

    def add(self, fresh: Words, winner: bool, number: int) -> None:
        """Record that the positions of a set are decided for a winner at this distance.

        Raises
        ------
        OverflowError
            when there are such positions and no code can hold the distance
        """
        if number > MOST[winner]:
            if fresh.any():
                code_of(number, winner)
            return
        while len(self.digits) < number.bit_length():
            self.digits.append(np.zeros(self.shape, dtype=np.uint64))
        sets = [self.known[winner], *(digit for place, digit in enumerate(self.digits) if number >> place & 1)]
        flat, found = [one.reshape(-1) for one in sets], fresh.reshape(-1)

        def record(part: slice, hand: int) -> None:
            for one in flat:
                one[part] |= found[part]

        self._crew.each(parts_of(found.size, found.size), record)

    def put(self, cut: tuple[slice, ...], part: Distances, winner: bool) -> None:
        """Record what is decided for a winner in a part of the set, nothing of which has been recorded for him yet."""
        self.known[winner][cut] |= part.known[winner]
        while len(self.digits) < len(part.digits):
            self.digits.append(np.zeros(self.shape, dtype=np.uint64))
        for digit, of_part in zip(self.digits, part.digits, strict=False):
            digit[cut] |= of_part

    def reduced(self, legal: Words) -> Codes:
        """Write the codes in the symmetry-reduced layout (see `codes`)."""
        kings = self.shape[-1]
        table = np.empty((kings, 64, *self.shape[:-1]), dtype=np.uint8)
        flat = table.reshape(kings, 64, -1)
        digits = [digit.reshape(-1, kings) for digit in self.digits]
        won, lost, there = (one.reshape(-1, kings) for one in (self.known[True], self.known[False], legal))
        loses = bool(self.known[False].any())

        def write(part: slice, hand: int) -> None:
            for king in range(kings):
                here = part, king
                planes = _planes([digit[here] for digit in digits], won[here], lost[here] if loses else None)
                planes |= ~there[here]  # `ILLEGAL` has every bit
                flat[king, :, part] = from_planes(planes).T

        self._crew.each(parts_of(won.shape[0], prod(self.shape)), write)
        return table


def _planes(digits: list[Words], won: Words, lost: Words | None) -> Words:
    """Return the binary digits of codes from those of the numbers, shape (8, any).

    A win of Black's is 254 minus the number, which is the number's complement less one.
    """
    planes = np.zeros((8, len(won)), np.uint64)
    for plane, digit in zip(planes, digits, strict=False):
        plane |= digit & won
    if lost is None:
        planes[7] = ~won
        return planes
    planes[7] = ~(won | lost)
    borrow = lost
    for place, plane in enumerate(planes):
        number = digits[place] if place < len(digits) else np.zeros_like(won)
        plane |= (number ^ borrow ^ ~np.uint64(0)) & lost
        borrow = borrow & number
    return planes


@dataclass(frozen=True, slots=True)
class _Exit:
    """A conversion and the codes it leads to."""

    conversion: Conversion
    present: frozenset[int]

    def among(self, low: int, high: int) -> frozenset[int]:
        """Return the codes in ``low..high`` that it leads to."""
        return frozenset(code for code in self.present if low <= code <= high)

    def into(self, low: int, high: int, out: Words, crew: Crew) -> None:
        """Add the placements from which the conversion leads to codes in ``low..high``."""
        codes = self.conversion.codes
        found = np.empty(codes.shape[:-1], np.uint64)

        def gather(part: slice, hand: int) -> None:
            found[part] = pack((codes[part] - np.uint8(low)) <= np.uint8(high - low))  # what is below wraps round

        crew.each(parts_of(len(codes), codes.size // 8), gather)
        self.conversion.spread(found, out, crew)


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
    crew : shares the work on large sets

    Attributes
    ----------
    legal : legal positions by side to move (True: White), as everywhere below
    mated : positions in which a side is checkmated
    playable : positions in which a side has a legal move or is checkmated: all but stalemates
    """

    def __init__(self, placement: Placement, table: ChildTable, crew: Crew | None = None) -> None:
        self.placement = placement
        self.crew = crew or Crew()
        self.moves = Moves(placement, self.crew)
        self.legal = placement.legal
        self._exits: list[_Exit] = []
        self._left: dict[bool, tuple[list[frozenset[int]], Words]] = {}
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
        exits = [exit_ for exit_ in self._exits if exit_.conversion.white == mover]
        codes = [exit_.among(lowest, highest) for exit_ in exits]
        if any(codes):
            self.join(out, self._leaving(mover, exits, codes, lowest, highest))
        return out

    def _leaving(self, mover: bool, exits: list[_Exit], codes: list[frozenset[int]], low: int, high: int) -> Words:
        """Return the placements from which exits lead to codes; where they are as the last time, what was found then.

        Beyond the last number a child knows every layer asks for the same.
        """
        last = self._left.get(mover)
        if last is not None and last[0] == codes:
            return last[1]
        found = self.placement.empty()
        for exit_, those in zip(exits, codes, strict=True):
            if those:
                exit_.into(low, high, found, self.crew)
        self._left[mover] = codes, found
        return found

    def join(self, out: Words, more: Words) -> None:
        """Add a set to another, changed in place."""
        into, added = out.reshape(-1), more.reshape(-1)

        def add(part: slice, hand: int) -> None:
            into[part] |= added[part]

        self.crew.each(parts_of(into.size, into.size), add)

    def narrow(self, found: Words, among: Words, without: Words, outside: bool = False) -> None:
        """Keep of a set, changed in place, or of what is outside it, what is among one set and not in another."""
        into, those, less = found.reshape(-1), among.reshape(-1), without.reshape(-1)

        def keep(part: slice, hand: int) -> None:
            here = into[part]
            if outside:
                np.invert(here, out=here)
            here &= those[part]
            here &= ~less[part]

        self.crew.each(parts_of(into.size, into.size), keep)

    def without(self, all_: Words, less: Words) -> Words:
        """Return a set without another."""
        found = np.zeros_like(all_)
        self.narrow(found, all_, less, outside=True)
        return found

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
        self._exits, self._left = [], {}
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
        moves, more = 0, bool(fresh.any())
        while more or moves <= last_exit:
            heartbeat(moves)
            moves += 1
            lost = out[loser].known[winner]
            found = self.before_lost(fresh, lost, winner, moves - 1) if forward is None else forward(fresh)
            self.leaving(winner, winner, moves - 1, moves - 1, found)
            self.narrow(found, self.legal[winner], out[winner].known[winner])
            out[winner].add(allowed(found, winner), winner, moves)
            open_ = self.without(self.legal[winner], out[winner].known[winner])
            del found, fresh  # the next sets take their place
            fresh = self.before_open(open_, winner, moves - 1)
            self.leaving(winner, loser, moves + 1, 254, fresh)
            self.narrow(fresh, self.playable[loser], lost, outside=True)
            fresh = allowed(fresh, loser)
            more = bool(fresh.any())
            out[loser].add(fresh, winner, moves)
