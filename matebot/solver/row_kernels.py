"""The loops over codes that numba compiles, where that library is at hand; without it they are plain Python.

They do what `codes`, `sets`, `row_form` and `parting` do with whole arrays.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver.compiling import Numbers, Truth, compiled
from matebot.solver.geometry import Codes, Words
from matebot.solver.set_kernels import turned

_NONE, _ONE = np.uint64(0), np.uint64(1)
_OCTET: Final = np.uint64(0xFF)
_ILLEGAL: Final = np.uint8(255)
#: Placements of which the codes are written together.
_BLOCK: Final = 128


@compiled
def expand(
    rows: Codes, kings: Numbers, first: Numbers, second: Numbers, third: Numbers, out: Codes, column: int
) -> None:
    """Read codes of three men with the white king in a place; see `codes.expand`.

    Parameters
    ----------
    rows : axes (64 black king, men...)
    kings, first, second, third : the squares wanted
    out : axes (men..., columns, black king)
    """
    room = np.empty((len(third), len(kings)), np.uint8)
    for one in range(len(first)):
        for two in range(len(second)):
            for king in range(len(kings)):
                row = rows[kings[king], first[one], second[two]]
                for three in range(len(third)):
                    room[three, king] = row[third[three]]
            for three in range(len(third)):
                out[one, two, three, column] = room[three]


@compiled
def fill_gaps(row: Codes, kept: Numbers, out: Codes) -> None:
    """Write what is kept of a row, the code before it where there is no position; see `row_form`."""
    last = np.uint8(255)
    for number in range(len(kept)):
        code = row[kept[number]]
        if code != 255:
            last = code
        out[number] = last


@compiled
def look_up(codes: Codes, there: Truth) -> None:
    """Write which of the 256 codes there are."""
    for number in range(len(codes)):
        there[codes[number]] = True


@compiled
def within(codes: Codes, low: int, high: int, out: Words, first: int, last: int) -> None:
    """Write as sets where codes are in ``low..high``; shapes (any, 64) and (any,)."""
    least, most = np.uint8(low), np.uint8(high)
    for number in range(first, last):
        word = _NONE
        for square in range(64):
            there = (codes[number, square] >= least) & (codes[number, square] <= most)
            word |= np.uint64(there) << np.uint64(square)
        out[number] = word


@compiled
def _begin(mates: Codes) -> Numbers:
    """Return for each code where its first one stands when all are in order."""
    count = np.zeros((4, 256), np.int32)  # to count neighbours apart is quicker where they are alike
    for number in range(len(mates)):
        count[number & 3, mates[number]] += 1
    first = np.zeros(257, np.int64)
    for code in range(256):
        alike = count[0, code] + count[1, code] + count[2, code] + count[3, code]
        first[code + 1] = first[code] + alike
    return first


@compiled
def by_mate(codes: Codes, mates: Codes, out: Codes) -> None:
    """Write codes arranged by those to mate; see `parting`. Those of one run of mates come one after the other."""
    at, mate, place = _begin(mates), 0, 0
    for number in range(len(mates)):
        if mates[number] != mate:
            at[mate], mate = place, mates[number]
            place = at[mate]
        out[place] = codes[number]
        place += 1


@compiled
def by_place(arranged: Codes, mates: Codes, out: Codes) -> None:
    """Write codes again that were arranged by those to mate."""
    at, mate, place = _begin(mates), 0, 0
    for number in range(len(mates)):
        if mates[number] != mate:
            at[mate], mate = place, mates[number]
            place = at[mate]
        out[number] = arranged[place]
        place += 1


@compiled
def lengthen(
    short: Codes,
    place: NDArray[np.int32],
    sizes: tuple[int, int, int],
    first: tuple[int, int, int],
    kings: np.uint64,
    checking: Words,
    between: Words,
    behind: Words,
    out: Codes,
) -> None:
    """Write the whole row of a short one, three men beside the kings; see `row_form`.

    Parameters
    ----------
    place : where in the short row the code of a placement is
    sizes, first : squares of each man, and the lowest of them
    kings : the squares of both
    checking : for each man the squares from which he must not give check, as a mask
    between : for each square what lies between it and the king that is not in check, as a mask
    behind : for each square those that it lies before, seen from that king
    """
    for one in range(sizes[0]):
        at_one = np.uint64(one + first[0])
        for two in range(sizes[1]):
            at_two = np.uint64(two + first[1])
            occupied = kings | (_ONE << at_one) | (_ONE << at_two)
            none = _taken(kings, at_one, at_two)
            bad = occupied | (checking[2] & ~(behind[at_one] | behind[at_two]))
            for man in range(2):
                at = at_one if man == 0 else at_two
                if (checking[man] >> at) & _ONE != _NONE and between[at] & occupied == _NONE:
                    bad |= ~between[at]  # the third man had to stand there
            base = (one * sizes[1] + two) * sizes[2]
            for three in range(sizes[2]):
                if none or (bad >> np.uint64(three + first[2])) & _ONE != _NONE:
                    out[base + three] = _ILLEGAL
                else:
                    out[base + three] = short[place[base + three]]


@compiled
def _taken(kings: np.uint64, one: np.uint64, two: np.uint64) -> bool:
    return bool(one == two or ((kings >> one) | (kings >> two)) & _ONE != _NONE)


@compiled
def write_codes(
    digits: Words, sides: Words, there: Words, table: Codes, kings: int, used: int, first: int, last: int
) -> None:
    """Write codes from the binary digits of the numbers; see `codes`.

    Parameters
    ----------
    digits : shape (8, words), the lowest first, `used` of them are any but empty
    sides : shape (2, words): what Black, and what White wins
    there : the positions
    table : shape (kings, 64, placements)
    first, last : which placements
    """
    planes, room = np.zeros((8, _BLOCK), np.uint64), np.empty((4, _BLOCK), np.uint64)
    for start in range(first, last, _BLOCK):
        size = min(_BLOCK, last - start)
        for king in range(kings):
            _planes(digits, sides, there, start * kings + king, kings, used, planes[:, :size], room[:, :size])
            for octet in range(8):
                shift = np.uint64(8 * octet)
                words = room[0, :size]
                words[:] = _NONE
                for plane in range(8):
                    place = np.uint64(8 * plane)
                    for number in range(size):
                        words[number] |= ((planes[plane, number] >> shift) & _OCTET) << place
                for number in range(size):
                    words[number] = turned(words[number], 0)
                for square in range(8):
                    out, place = table[king, 8 * octet + square], np.uint64(8 * square)
                    for number in range(size):
                        out[start + number] = (words[number] >> place) & _OCTET


@compiled
def _planes(
    digits: Words, sides: Words, there: Words, base: int, step: int, used: int, planes: Words, room: Words
) -> None:
    """Write the binary digits of the codes of some words; see `sets`."""
    lost, won, borrow, none = room
    for at in range(planes.shape[1]):
        lost[at], won[at], none[at] = sides[0, base + at * step], sides[1, base + at * step], ~there[base + at * step]
        borrow[at] = lost[at]
    for place in range(8):
        plane = planes[place]
        for at in range(len(plane)):
            number = digits[place, base + at * step] if place < used else _NONE
            plane[at] = (number & won[at]) | (~(number ^ borrow[at]) & lost[at]) | none[at]
            borrow[at] &= number
    for at in range(planes.shape[1]):
        planes[7, at] |= ~(won[at] | lost[at])
