"""Attractors: how the side that wants to win forces it, layer by layer; the one kernel behind distances and ladders.

    won(n)  = legal, and some move leads into lost(n - 1), or out of the ending to a win in n - 1
    lost(n) = legal, not stalemate, and no move leads outside won(n), or out of the ending to anything but that

The number n counts the winner's moves.

Each layer is a handful of array operations on whole sets. What the moves out of the ending are worth is given from
outside: the shortest mate for distances, the way by the method for ladders.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from matebot.records import dataclass
from matebot.solver.codes import MOST, code_of, present
from matebot.solver.conversions import ChildTable, Conversion, EnPassant, Timed, conversions
from matebot.solver.crew import Crew
from matebot.solver.geometry import Codes, Words
from matebot.solver.placement import Placement
from matebot.solver.sets import Sets
from matebot.solver.tools import tools

#: Called between layers with the number of moves or plies done; may raise to stop the work.
Heartbeat = Callable[[int], None]


class Distances:
    """Layer numbers of a growing set of positions, one side to move, as binary digits.

    Parameters
    ----------
    sets : works on the sets

    Attributes
    ----------
    known : for the winner True (White) and False (Black), the set of positions decided so far
    """

    def __init__(self, shape: tuple[int, ...], sets: Sets | None = None) -> None:
        self.shape = shape
        self._sides = np.zeros((2, *shape), dtype=np.uint64)
        self.known = {winner: self._sides[int(winner)] for winner in (True, False)}
        self._digits = np.zeros((8, *shape), dtype=np.uint64)
        self._used = 0
        self._sets = sets or Sets()

    @property
    def digits(self) -> Words:
        """The binary digits of the numbers, the lowest first, as sets."""
        return self._digits[: self._used]

    def add(self, fresh: Words, winner: bool, number: int, open_: Words | None = None) -> None:
        """Record that the positions of a set are decided for a winner at this distance.

        Parameters
        ----------
        open_ : where given, only those of the set count that are in it, and they are dropped from it

        Raises
        ------
        OverflowError
            when there are such positions and no code can hold the distance
        """
        if number > MOST[winner]:
            if open_ is not None:
                self._sets.keep(fresh, open_)
                self._sets.drop(open_, fresh)
            if self._sets.some(fresh):
                code_of(number, winner)
            return
        self._used = max(self._used, number.bit_length())
        self._sets.record(fresh, self.known[winner], self._digits, number, open_)

    def put(self, cut: tuple[slice, ...], part: Distances, winner: bool) -> None:
        """Record what is decided for a winner in a part of the set, nothing of which has been recorded for him yet."""
        self.known[winner][cut] |= part.known[winner]
        self._used = max(self._used, len(part.digits))
        for digit, of_part in zip(self._digits, part.digits, strict=False):
            digit[cut] |= of_part

    def reduced(self, legal: Words) -> Codes:
        """Write the codes in the symmetry-reduced layout (see `codes`)."""
        return self._sets.codes(self._digits, self._used, self._sides, legal)


@dataclass(frozen=True, slots=True)
class _Exit:
    """A conversion and the codes it leads to."""

    conversion: Conversion
    present: frozenset[int]

    def among(self, low: int, high: int) -> frozenset[int]:
        """Return the codes in ``low..high`` that it leads to."""
        return frozenset(code for code in self.present if low <= code <= high)

    def into(self, low: int, high: int, out: Words, sets: Sets) -> None:
        """Add the placements from which the conversion leads to codes in ``low..high``."""
        self.conversion.spread(sets.within(self.conversion.codes, low, high), out, sets.crew)


class _Left(NamedTuple):
    """The codes a side's exits were asked for last; which were asked for the same before, and where they lead from."""

    codes: list[frozenset[int]]
    steady: list[bool]
    from_them: Words


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
    timed : see `heed_the_clock`

    Attributes
    ----------
    legal : legal positions by side to move (True: White), as everywhere below
    mated : positions in which a side is checkmated
    playable : positions in which a side has a legal move or is checkmated: all but stalemates
    """

    def __init__(
        self,
        placement: Placement,
        table: ChildTable,
        crew: Crew | None = None,
        compiled: bool | None = None,
        timed: Timed | None = None,
    ) -> None:
        self.placement = placement
        self.crew = crew or Crew()
        self.sets, self.moves, self._spreading = tools(placement, self.crew, compiled)
        self.legal = placement.legal
        self._left: dict[bool, _Left] = {}
        self._exits = [
            _Exit(exit_, present(exit_.codes, self.crew))
            for exit_ in conversions(placement, table, self._spreading, self.crew, timed)
        ]
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
            self._leave(mover, exits, codes, (lowest, highest), out)
        return out

    def _leave(
        self, mover: bool, exits: list[_Exit], codes: list[frozenset[int]], within: tuple[int, int], out: Words
    ) -> None:
        """Add the placements from which exits lead to codes; of those for which they are as the last time, at once.

        Most children know no higher numbers after a while, and every layer asks the same of them.
        """
        last = self._left.get(mover)
        steady = [last is None or now == then for now, then in zip(codes, last.codes if last else codes, strict=True)]
        if last is None or last.steady != steady:
            from_them = self.placement.empty()
            for exit_, those, is_steady in zip(exits, codes, steady, strict=True):
                if those and is_steady:
                    exit_.into(*within, from_them, self.sets)
        else:
            from_them = last.from_them
        self._left[mover] = _Left(codes, steady, from_them)
        self.sets.add(out, from_them)
        for exit_, those, is_steady in zip(exits, codes, steady, strict=True):
            if those and not is_steady:
                exit_.into(*within, out, self.sets)

    def before(self, reached: Words, mover: bool) -> Words:
        """Return the placements before a quiet move into a set, captures en passant left out of account."""
        return self.moves.before(reached, mover, self.sets.empty(self.placement.shape))

    def before_lost(self, fresh: Words, lost: Words, winner: bool, high: int) -> Words:
        """Return the placements before a quiet move of the winner into a set that is lost for the other side.

        Parameters
        ----------
        fresh : the part that is wanted, `lost`: all of it
        high : a capture en passant must leave a win in so many moves at most
        """
        out = self.sets.empty(self.placement.shape)
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

    def heed_the_clock(self) -> None:
        """Let promotions into wins that the fifty-move rule forbids be worth a draw from now on."""
        self._left = {}
        for number, exit_ in enumerate(self._exits):
            if exit_.conversion.late is not None:
                exit_.conversion.heed_the_clock()
                self._exits[number] = _Exit(exit_.conversion, present(exit_.conversion.codes, self.crew))

    def _stalemates(self, side: bool) -> Words:
        return self.legal[side] & ~self.playable[side]

    def before_open(self, open_: Words, winner: bool, high: int, among: Words | None = None) -> Words:
        """Return the placements before a quiet move of the loser into a set that the winner has not won yet.

        Parameters
        ----------
        high : a capture en passant wins when it leads to a loss in so many moves at most
        among : where given, the others do not matter
        """
        loser, out = not winner, self.sets.empty(self.placement.shape)
        self.moves.before(open_, loser, out, pawns=not self.en_passant.active, among=among)
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
        last_exit, last_escape = self._last_exit(winner, (True, False)), self._last_exit(winner, (loser,))
        fresh = allowed(self.mated[loser].copy(), loser)
        out[loser].add(fresh, winner, 0)
        open_ = self.sets.without(self.legal[winner], out[winner].known[winner])
        waiting = self.sets.without(self.playable[loser], out[loser].known[winner])
        moves, more = 0, self.sets.some(fresh)
        while more or moves <= last_exit:
            heartbeat(moves)
            moves += 1
            lost = out[loser].known[winner]
            found = self.before_lost(fresh, lost, winner, moves - 1) if forward is None else forward(fresh)
            self.leaving(winner, winner, moves - 1, moves - 1, found)
            found = allowed(found, winner)
            out[winner].add(found, winner, moves, open_)
            self.sets.spare(fresh)
            del fresh  # the next set takes its place
            fresh = self._cornered(found, open_, waiting, winner, moves, last_escape)
            self.sets.spare(found)
            del found
            fresh = allowed(fresh, loser)
            more = self.sets.some(fresh)
            out[loser].add(fresh, winner, moves, waiting)

    def _last_exit(self, winner: bool, movers: tuple[bool, ...]) -> int:
        """Return the most moves to mate after some side's moves out of the ending, or a capture en passant."""
        present = [exit_.present for exit_ in self._exits if exit_.conversion.white in movers]
        codes = frozenset[int]().union(*present, self.en_passant.present)
        return max((n for n in range(MOST[winner] + 1) if code_of(n, winner) in codes), default=0)

    def _cornered(self, found: Words, open_: Words, waiting: Words, winner: bool, moves: int, steady: int) -> Words:
        """Return the positions lost in so many moves.

        Where nothing but `found`, what has been won last, can have changed, only positions before it are looked at.

        Parameters
        ----------
        steady : beyond so many moves, what the loser's moves out of the ending are worth changes nothing
        """
        loser, among = not winner, None
        if moves > steady + 1 and self.moves.can_spare(found):
            among = self.moves.before(found, loser, self.sets.empty(self.placement.shape))
            self.sets.keep(among, waiting)
        escapes = self.before_open(open_, winner, moves - 1, among)
        self.leaving(winner, loser, moves + 1, 254, escapes)
        if among is None:
            among = self.sets.without(waiting, escapes)
        else:
            self.sets.drop(among, escapes)
        self.sets.spare(escapes)
        return among
