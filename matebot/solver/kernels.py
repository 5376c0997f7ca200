"""The loops over large sets that numba compiles, where that library is at hand; without it they are plain Python.

They do what `moves` does with whole arrays, on flat ones and on a part of them, and pass over what is empty or not
wanted. A set `among` of no words stands for none; with one, what lies outside it may be left out. Those that only join
sets are in `set_kernels`, those over codes in `row_kernels`.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from matebot.solver.compiling import Numbers, Truth, compiled
from matebot.solver.geometry import DIAGONALS, LEAPS, ORTHOGONALS, Words, ray
from matebot.solver.set_kernels import CHUNK, any_of, turned

_NOT_A: Final = np.uint64(0xFEFE_FEFE_FEFE_FEFE)
_NOT_H: Final = np.uint64(0x7F7F_7F7F_7F7F_7F7F)
_NONE: Final = np.uint64(0)
_ONE, _EIGHT = np.uint64(1), np.uint64(8)
_LEAPS: Final = np.array(LEAPS, np.int64)
#: How a man moves, as digits.
STRAIGHT, SLANTED, LEAPING = 1, 2, 4
_LINES: Final = ORTHOGONALS + DIAGONALS
#: The squares of a ray or leap by direction and square, the nearest first, -1 at the end; of which directions, by how.
_WAYS: Final = np.array(
    [
        [[*ray(square, *way)[: 7 if way in _LINES else 1], *[-1] * 8][:8] for square in range(64)]
        for way in _LINES + LEAPS
    ],
    np.int64,
)
_FIRST, _LAST = np.array([0, 0, 4, 0, 8]), np.array([0, 4, 8, 8, 16])
#: Where less than one word in so many of a board is not empty, moves are made word by word.
_FEW: Final = 8
#: Words that lie next to each other of a board that is worked on at once: all of it stays in the nearest cache.
_TILE: Final = 16


@compiled
def _tile(words: Words, base: int, after: int, width: int, room: Words) -> bool:
    """Copy a tile of a board of 64 squares, the words of each next to each other; tell whether there is any bit."""
    found = _NONE
    for square in range(64):
        from_ = words[base + square * after : base + square * after + width]
        to = room[square * width : (square + 1) * width]
        for number in range(width):
            to[number] = from_[number]
            found |= from_[number]
    return bool(found != _NONE)


@compiled
def _count(words: Words, base: int, after: int, width: int) -> int:
    """Return how many words of a tile are not empty."""
    found = 0
    for square in range(64):
        start = base + square * after
        for word in words[start : start + width]:
            found += word != _NONE
    return found


@compiled
def _found(square: int, at: int, after: int, reached: Words, free: Words, wanted: np.uint64, how: int) -> np.uint64:
    """Return of what is wanted on a square that from which some move leads into a set; `at` is where its word is."""
    found = _NONE
    for direction in range(_FIRST[how], _LAST[how]):
        passing = wanted
        for to in _WAYS[direction, square]:
            if to < 0 or passing == _NONE:
                break
            there = at + (to - square) * after
            found |= reached[there] & passing
            passing &= free[there] & ~found
    return found


@compiled
def _look_on_few(
    reached: Words, free: Words, among: Words, out: Words, base: int, after: int, width: int, how: int
) -> None:
    for square in range(64):
        start = base + square * after
        for at in range(start, start + width):
            wanted = among[at] & ~out[at]
            if wanted != _NONE:
                out[at] |= _found(square, at, after, reached, free, wanted, how)


@compiled
def _move_few(reached: Words, free: Words, out: Words, base: int, after: int, width: int, how: int) -> None:
    for square in range(64):
        start = base + square * after
        for at in range(start, start + width):
            if reached[at] != _NONE:
                _spread(square, at, after, reached[at], free, out, how)


@compiled
def _spread(square: int, at: int, after: int, word: np.uint64, free: Words, out: Words, how: int) -> None:
    """Add what moves from a square, run backwards, lead to; `word` is what is reached there."""
    for direction in range(_FIRST[how], _LAST[how]):
        passing = word
        for to in _WAYS[direction, square]:
            if to < 0 or passing == _NONE:
                break
            there = at + (to - square) * after
            out[there] |= passing
            passing &= free[there]


@compiled
def _sweep(from_: Words, free: Words, swept: Words, after: Words, to: Words) -> None:
    """Go one step along rays from many squares at once; `swept` is what was found on those before, `after` on these."""
    for number in range(len(from_)):
        word = from_[number] | (swept[number] & free[number])
        after[number] = word
        to[number] |= word


@compiled
def _straight(from_: Words, free: Words, to: Words, width: int, swept: Words) -> None:
    rank = 8 * width
    for back in range(2):
        swept[:rank] = _NONE
        for number in range(1, 8):
            at = (number if back else 7 - number) * rank
            there = at - rank if back else at + rank
            end = there + rank
            _sweep(from_[there:end], free[there:end], swept[:rank], swept[:rank], to[at : at + rank])
        for left in range(8):
            swept[:width] = _NONE
            for number in range(1, 8):
                at = left * rank + (number if back else 7 - number) * width
                there = at - width if back else at + width
                end = there + width
                _sweep(from_[there:end], free[there:end], swept[:width], swept[:width], to[at : at + width])


@compiled
def _slanted(from_: Words, free: Words, to: Words, width: int, swept: Words, next_: Words) -> None:
    rank, most = 8 * width, 7 * width
    for direction in range(4):
        back, left = direction & 1, direction >> 1
        low, high = (0, width) if left else (width, 0)
        swept[:rank] = _NONE
        for number in range(1, 8):
            at = (number if back else 7 - number) * rank
            there = (at - rank if back else at + rank) + low
            end, into = there + most, at + high
            next_[:rank] = _NONE
            _sweep(
                from_[there:end],
                free[there:end],
                swept[low : low + most],
                next_[high : high + most],
                to[into : into + most],
            )
            swept, next_ = next_, swept


@compiled
def _leaping(from_: Words, to: Words, width: int) -> None:
    for leap in range(8):
        ranks, files = _LEAPS[leap, 0], _LEAPS[leap, 1]
        size = (8 - abs(files)) * width
        for rank in range(max(0, -ranks), min(8, 8 - ranks)):
            at = (rank * 8 + max(0, -files)) * width
            there = ((rank + ranks) * 8 + max(0, files)) * width
            source, target = from_[there : there + size], to[at : at + size]
            for number in range(size):
                target[number] |= source[number]


@compiled
def man_before(
    reached: Words,
    free: Words,
    among: Words,
    out: Words,
    boards: tuple[int, int],
    part: tuple[int, int],
    after: int,
    how: int,
) -> None:
    """Add the placements before a move of a man other than king and pawn.

    Parameters
    ----------
    boards, part : which boards of his axis, and which part of the words after it
    after : words after his axis
    how : `STRAIGHT`, `SLANTED`, `LEAPING`, or a sum
    """
    size = min(_TILE, part[1] - part[0])
    from_, open_, to = np.empty(64 * size, np.uint64), np.empty(64 * size, np.uint64), np.empty(64 * size, np.uint64)
    swept, next_ = np.empty(8 * size, np.uint64), np.empty(8 * size, np.uint64)
    for board in range(boards[0], boards[1]):
        for start in range(part[0], part[1], size):
            width = min(size, part[1] - start)
            base = board * 64 * after + start
            few = 64 * width // _FEW
            wanted = _count(among, base, after, width) if len(among) else few
            if wanted < few:
                if wanted:
                    _look_on_few(reached, free, among, out, base, after, width, how)
                continue
            some = _count(reached, base, after, width)
            if some < few:
                if some:
                    _move_few(reached, free, out, base, after, width, how)
                continue
            _tile(reached, base, after, width, from_)
            to[:] = _NONE
            if how & LEAPING:
                _leaping(from_, to, width)
            else:
                _tile(free, base, after, width, open_)
                if how & STRAIGHT:
                    _straight(from_, open_, to, width, swept)
                if how & SLANTED:
                    _slanted(from_, open_, to, width, swept, next_)
            for square in range(64):
                into, found = out[base + square * after : base + square * after + width], to[square * width :]
                for number in range(width):
                    into[number] |= found[number]


@compiled
def look(reached: Words, some: Truth, first: int, last: int) -> None:
    """Write for rows of a set whether there is any bit."""
    size = len(reached) // len(some)
    for row in range(first, last):
        some[row] = any_of(reached[row * size : (row + 1) * size])


@compiled
def white_king_before(
    reached: Words,
    some: Truth,
    among: Words,
    out: Words,
    rows: tuple[int, int],
    shape: tuple[int, int],
    ways: Numbers,
    strangers: Numbers,
    places: Numbers,
) -> None:
    """Add the placements before a move of the white king.

    Parameters
    ----------
    some : whether there is any bit for a placement of the men but the last
    rows : which of those placements
    shape : squares of the last man but one, and of the last
    ways : for each home square those next to it: numbers of home squares, then of strangers; -1 is none
    strangers : for each square next to a home square that is none: its mirrors as three digits, and the number of the
        home square it is brought to
    places : for every mirrors and each of the last three men, where his squares come from
    """
    homes = len(ways)
    boards = np.empty((homes + len(strangers), shape[1]), np.uint64)
    empty = np.empty(len(boards), np.bool_)
    found = np.empty(shape[1], np.uint64)
    for row in range(rows[0], rows[1]):
        size = shape[1] * homes
        base = row * size
        if len(among) and not any_of(among[base : base + size]):
            continue
        for home in range(homes):
            empty[home] = not (some[row] and _column(reached[base : base + size], home, homes, boards[home]))
        first, second = row // shape[0], row % shape[0]
        for number in range(len(strangers)):
            mirrors, board = strangers[number, 0], boards[homes + number]
            there = places[mirrors, 0, first] * shape[0] + places[mirrors, 1, second]
            empty[homes + number] = True
            if some[there]:
                words, place = reached[there * size : (there + 1) * size], places[mirrors, 2]
                empty[homes + number] = not _moved(words, strangers[number, 1], homes, place, board)
                _mirror(board, mirrors)
        if np.all(empty):
            continue
        for home in range(homes):
            _near(boards, empty, ways[home], found)
            for third in range(shape[1]):
                out[base + third * homes + home] |= found[third]


@compiled
def _column(words: Words, number: int, step: int, out: Words) -> bool:
    found = _NONE
    for at in range(len(out)):
        out[at] = words[at * step + number]
        found |= out[at]
    return bool(found != _NONE)


@compiled
def _moved(words: Words, number: int, step: int, places: Numbers, out: Words) -> bool:
    found = _NONE
    for at in range(len(out)):
        out[at] = words[places[at] * step + number]
        found |= out[at]
    return bool(found != _NONE)


@compiled
def _mirror(board: Words, mirrors: int) -> None:
    for kind in range(3):
        if mirrors >> kind & 1:
            for number in range(len(board)):
                board[number] = turned(board[number], kind)


@compiled
def _near(boards: Words, empty: Truth, ways: Numbers, found: Words) -> None:
    """Write what is on any of some boards."""
    found[:] = _NONE
    for number in range(len(ways)):
        way = ways[number]
        if way >= 0 and not empty[way]:
            board = boards[way]
            for third in range(len(found)):
                found[third] |= board[third]


@compiled
def black_king_before(reached: Words, among: Words, out: Words, first: int, last: int) -> None:
    """Add the placements before a move of the black king."""
    for start in range(first, last, CHUNK):
        end = min(start + CHUNK, last)
        if (len(among) and not any_of(among[start:end])) or not any_of(reached[start:end]):
            continue
        from_, to = reached[start:end], out[start:end]
        for number in range(end - start):
            word = from_[number]
            row = ((word & _NOT_A) >> _ONE) | ((word & _NOT_H) << _ONE)
            three = row | word
            to[number] |= row | (three << _EIGHT) | (three >> _EIGHT)
