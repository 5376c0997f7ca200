"""Captures and promotions: moves that lead out of an ending into a smaller or another one.

A conversion spreads a set of positions of the child ending back over the placements it is reached from. A capture
is a move to the square of another man, so the child's set is laid along that man's axis and broadcast over the rest.
Large sets are spread part by part along the first axis (see `crew`).
"""

from __future__ import annotations

from collections.abc import Callable
from math import prod

import numpy as np
from numpy.typing import NDArray

from matebot.records import dataclass
from matebot.solver import geometry as geo
from matebot.solver.codes import DRAW, ILLEGAL, SQUARES, expand, flipped, pack
from matebot.solver.crew import Crew, parts_of
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import PROMOTIONS, Material
from matebot.solver.placement import Placement

#: Codes of one ending for one side to move, in the reduced layout.
ChildTable = Callable[[Material, bool], Codes]
#: Given them, the same with wins that the fifty-move rule forbids drawn, None where there are none; see `late_legs`.
Timed = Callable[[Material, bool, Codes], Codes | None]
#: Places in an array of codes, by number, and what stands there instead.
_Changes = tuple[NDArray[np.intp], Codes]
#: Adds to a set, changed in place, within a part of its first axis.
_Adding = Callable[[Words, slice], None]


@dataclass(frozen=True, slots=True)
class Conversion:
    """One kind of capture or promotion.

    Attributes
    ----------
    white : the side that moves
    codes : values of the positions reached, White's view, axes (men left..., white king, black king)
    shape : of the parent's sets
    lay : makes of a set over the axes of `codes` (all but the last) what adds to a part of a set along its first axis
    late : what changes in `codes` where wins that the fifty-move rule forbids are worth a draw
    """

    white: bool
    codes: Codes
    shape: tuple[int, ...]
    lay: Callable[[Words], _Adding]
    late: _Changes | None = None

    def heed_the_clock(self) -> None:
        """Let wins that the fifty-move rule forbids be worth a draw from now on."""
        if self.late is not None:
            places, codes = self.late
            self.codes.reshape(-1)[places] = codes

    def spread(self, child: Words, out: Words | None = None, crew: Crew | None = None) -> Words:
        """Return a set of positions of the child laid back over the parent's placements, added to `out` if given."""
        into = np.zeros(self.shape, np.uint64) if out is None else out
        add = self.lay(child)
        (crew or Crew()).each(parts_of(self.shape[0], prod(self.shape)), lambda part, hand: add(into, part))
        return into


def conversions(
    placement: Placement,
    table: ChildTable,
    spreading: Spreading | None = None,
    crew: Crew | None = None,
    timed: Timed | None = None,
) -> list[Conversion]:
    """List every capture and promotion of an ending, en passant apart, with the values they lead to.

    Parameters
    ----------
    spreading : lays sets back by compiled loops; by default numpy does
    crew : shares the work where there is much
    timed : where promotions lead to wins that the fifty-move rule forbids; see `Conversion.late`
    """
    by, crew = spreading or Spreading(), crew or Crew()
    found: list[Conversion] = []
    home = placement.at[placement.king_axis]
    for victim, (_, white) in enumerate(placement.men):
        crew.pulse()
        left = [axis for axis in range(placement.king_axis) if axis != victim]
        men = [placement.men[axis] for axis in left]
        codes = oriented(men, white, table, SQUARES if not white else home, crew=crew)
        found.append(Conversion(not white, codes, placement.shape, _king_takes(placement, victim, left, not white, by)))
        for taker in left:
            man, colour = placement.men[taker]
            if colour != white:
                crew.pulse()
                codes = oriented(men, white, table, home, crew=crew)
                if man == "P":
                    number = left.index(taker)
                    codes[_last_rank(colour, number)] = _best_promotion(men, number, table, home, crew)[0]
                found.append(Conversion(colour, codes, placement.shape, _man_takes(placement, taker, victim, left, by)))
    for axis, (man, colour) in enumerate(placement.men):
        if man == "P":
            codes, late = _best_promotion(list(placement.men), axis, table, home, crew, timed)
            found.append(Conversion(colour, codes, placement.shape, _promotes(placement, axis), late))
    return found


def _last_rank(white: bool, axis: int) -> tuple[slice, ...]:
    return (slice(None),) * axis + (slice(56, 64) if white else slice(0, 8),)


def oriented(
    men: list[tuple[str, bool]],
    white_to_move: bool,
    table: ChildTable,
    white_king: NDArray[np.intp],
    short: tuple[int, NDArray[np.intp]] | None = None,
    crew: Crew | None = None,
) -> Codes:
    """Values for men in a given order and colours, whatever the canonical form of their ending.

    Parameters
    ----------
    men : (man, is white) in the order of the axes wanted
    white_king : squares wanted of the white king
    short : number of a man and the only squares wanted of it; the others have all 64
    crew : shares the work where there is much

    Returns
    -------
    codes from White's view, axes (men..., white king, 64 black king)
    """
    if not men:
        apart = ~geo.has_bit(geo.KING | geo.BIT, np.arange(64)[:, None]).T
        return np.where(apart, DRAW, ILLEGAL).astype(np.uint8)[white_king]
    material, swapped = _material_of(men)
    order = _order(men, material, swapped)
    turn = 56 if swapped else 0  # colours are exchanged by turning the ranks round
    back = [order.index(i) for i in range(len(men))]
    squares = [SQUARES ^ turn if short is None or i != short[0] else short[1] ^ turn for i in range(len(men))]
    kings = [white_king ^ turn, SQUARES ^ turn]
    if swapped:
        kings.reverse()
    codes = expand(
        table(material, white_to_move != swapped),
        material,
        [squares[i] for i in order],
        kings[0],
        kings[1],
        crew,
        back,
    )
    if swapped:
        codes = np.swapaxes(flipped(codes), -1, -2)
    return np.ascontiguousarray(codes.transpose(*back, len(men), len(men) + 1))


def _order(men: list[tuple[str, bool]], material: Material, swapped: bool) -> list[int]:
    """For each axis of the canonical ending, the number of the man that stands on it."""
    free = list(range(len(men)))
    order: list[int] = []
    for man, colour in material.men:
        number = next(i for i in free if men[i] == (man, colour != swapped))
        free.remove(number)
        order.append(number)
    return order


def _best_promotion(
    men: list[tuple[str, bool]],
    number: int,
    table: ChildTable,
    white_king: NDArray[np.intp],
    crew: Crew,
    timed: Timed | None = None,
) -> tuple[Codes, _Changes | None]:
    """Values after the best promotion of one pawn for its side, on the eight last squares; what the clock changes."""
    white = men[number][1]
    last = np.arange(56, 64) if white else np.arange(8)
    better = np.minimum if white else np.maximum  # `ILLEGAL` is the highest code, and the same whatever the new man is

    def of_both(before: Codes | None, found: Codes) -> Codes:
        return found if before is None else better(before, found, out=before)

    best: Codes | None = None
    in_time: Codes | None = None
    for new in PROMOTIONS:
        promoted = [(new, white) if i == number else man for i, man in enumerate(men)]

        def valued(known: Codes, promoted: list[tuple[str, bool]] = promoted) -> Codes:
            return oriented(promoted, not white, lambda child, side: known, white_king, (number, last), crew)

        crew.pulse()
        material, swapped = _material_of(promoted)
        known = table(material, white == swapped)
        codes = valued(known)
        drawn = None if timed is None else timed(material, white == swapped, known)
        del known
        if drawn is not None and in_time is None and best is not None:
            in_time = best.copy()
        if drawn is not None or in_time is not None:
            in_time = of_both(in_time, codes if drawn is None else valued(drawn))
        best = of_both(best, codes)
    assert best is not None
    if in_time is None:
        return best, None
    places = np.flatnonzero(best != in_time)
    return best, (places, in_time.reshape(-1)[places])


def _material_of(men: list[tuple[str, bool]]) -> tuple[Material, bool]:
    """Return the ending of some men, and whether its colours are exchanged."""
    return Material.of(*("".join(man for man, white in men if white == side) for side in (True, False)))


def _within(values: Words, part: slice) -> Words:
    """Return the part along the first axis of what broadcasts to a set."""
    return values if len(values) == 1 else values[part]


class Spreading:
    """What is done to a part of a set along its first axis when a child's set is laid back; arrays broadcast to it."""

    def masked(self, out: Words, part: slice, laid: Words, mask: Words) -> None:
        """Add to a part of a set what is in two others."""
        out[part] |= _within(laid, part) & _within(mask, part)

    def near(self, out: Words, part: slice, laid: Words, square: Words, near: Words) -> None:
        """Add to a part of a set the words `near` where a set holds a square."""
        taken = _within(laid, part) >> _within(square, part)
        taken &= np.uint64(1)
        taken *= _within(near, part)  # all of the word or nothing
        out[part] |= taken


def _masked(laid: Words, mask: Words, by: Spreading) -> _Adding:
    return lambda out, part: by.masked(out, part, laid, mask)


def _king_takes(
    placement: Placement, victim: int, left: list[int], white: bool, by: Spreading
) -> Callable[[Words], _Adding]:
    if white:
        reach = placement.lay(
            geo.fill(geo.has_bit(geo.KING[:, None], SQUARES)),
            victim,
            placement.king_axis,
        )
        return lambda child: _masked(placement.lay(child, *left, victim), reach, by)
    near = placement.lay(geo.KING, victim)
    square = placement.squares(victim)

    def by_black_king(child: Words) -> _Adding:
        laid = placement.lay(child, *left, placement.king_axis)
        return lambda out, part: by.near(out, part, laid, square, near)

    return by_black_king


def _man_takes(
    placement: Placement, taker: int, victim: int, left: list[int], by: Spreading
) -> Callable[[Words], _Adding]:
    axes = [victim if axis == taker else axis for axis in left]
    hits = np.ascontiguousarray(placement.hits(taker, victim))  # in the order in which sets are gone through
    return lambda child: _masked(placement.lay(child, *axes, placement.king_axis), hits, by)


def _promotes(placement: Placement, axis: int) -> Callable[[Words], _Adding]:
    start = int(np.searchsorted(placement.at[axis], 48 if placement.men[axis][1] else 8))
    rank = slice(start, start + 8)

    def promoting(child: Words) -> _Adding:
        picks = [placement.among_all(i) if i != axis else slice(None) for i in range(placement.king_axis)]
        promoted = child[tuple(picks)]

        def add(out: Words, part: slice) -> None:
            if axis:
                out[(part, *(slice(None),) * (axis - 1), rank)] |= promoted[part]
            else:
                first, last = max(part.start, rank.start), min(part.stop, rank.stop)
                out[first:last] |= promoted[first - rank.start : max(last - rank.start, 0)]

        return add

    return promoting


@dataclass(frozen=True, slots=True)
class _Taking:
    """One pawn's captures en passant of another: the values after them, axes (men left..., white king, black king).

    Attributes
    ----------
    number : axis of the capturing pawn in `codes`, which holds the eight squares it arrives on, by file
    """

    pushed: int
    taker: int
    number: int
    codes: Codes


class EnPassant:
    """The captures that depend on the last move: they change what a double step achieves.

    All sets here are parts in which one pawn has just made a double step (see `Moves.landed`), the other side to move.

    Attributes
    ----------
    present : the codes that captures lead to
    """

    def __init__(self, placement: Placement, table: ChildTable) -> None:
        self._placement = placement
        pawns = [axis for axis, (man, _) in enumerate(placement.men) if man == "P"]
        colour = {axis: placement.men[axis][1] for axis in pawns}
        pairs = [(pushed, taker) for pushed in pawns for taker in pawns if colour[pushed] != colour[taker]]
        self._takings = [self._taking(pushed, taker, table) for pushed, taker in pairs]
        self.present = frozenset(code for taking in self._takings for code in np.unique(taking.codes).tolist())
        self._possible: dict[int, Words] = {}

    @property
    def active(self) -> bool:
        """Whether there are pawns of both sides."""
        return bool(self._takings)

    def won(self, landed: Words, pushed: int, low: int, high: int) -> Words:
        """Return a part of a set without the positions in which a capture leads to a code in ``low..high``.

        Parameters
        ----------
        pushed : axis of the pawn that made the double step
        """
        return landed & ~self._leading(pushed, lambda codes: (codes >= low) & (codes <= high))

    def lost(self, landed: Words, beaten: Words, pushed: int, low: int, high: int) -> Words:
        """Return a part of a set, changed where there is a legal capture: there each must lead to ``low..high``.

        Parameters
        ----------
        beaten : where, captures en passant apart, the side to move has no move or only ones that lose in time
        """
        if pushed not in self._possible:
            self._possible[pushed] = self._leading(pushed, lambda codes: codes != ILLEGAL)
        possible = self._possible[pushed]
        escaping = self._leading(pushed, lambda codes: (codes != ILLEGAL) & ((codes < low) | (codes > high)))
        return (landed & ~possible) | (possible & beaten & ~escaping)

    def _taking(self, pushed: int, taker: int, table: ChildTable) -> _Taking:
        placement = self._placement
        left = [axis for axis in range(placement.king_axis) if axis != pushed]
        men, number = [placement.men[axis] for axis in left], left.index(taker)
        pusher = placement.men[pushed][1]
        passed = np.arange(16, 24) if pusher else np.arange(40, 48)
        home = placement.at[placement.king_axis]
        return _Taking(pushed, taker, number, oriented(men, pusher, table, home, (number, passed)))

    def _leading(self, pushed: int, wanted: Callable[[Codes], NDArray[np.bool_]]) -> Words:
        """Return where some capture of a pawn leads to a wanted code."""
        placement = self._placement
        shape = [8 if axis == pushed else size for axis, size in enumerate(placement.shape)]
        out = np.zeros(shape, np.uint64)
        rank = 16 if placement.men[pushed][1] else 24
        for taking in (taking for taking in self._takings if taking.pushed == pushed):
            # A man of the child other than the pawns has its own 64 squares, as in the parent; a pawn 48 of them.
            picks = [at for axis, at in enumerate(placement.at[:-1]) if axis != pushed]
            picks[taking.number] = np.arange(8)
            reached = pack(wanted(taking.codes))[np.ix_(*picks)]
            for file in range(8):
                for other in (file - 1, file + 1):
                    if 0 <= other < 8:
                        at = {pushed: file, taking.taker: rank + other}
                        here = tuple(at.get(axis, slice(None)) for axis in range(placement.king_axis))
                        out[here] |= reached[(slice(None),) * taking.number + (file,)]
        return out
