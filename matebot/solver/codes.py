"""One byte for the value of a position, and the symmetry-reduced layout in which the bytes are kept.

A code grows from White's best to Black's best::

    0 .. 127      White wins; the code is the number
    128           drawn
    129 .. 254    Black wins; 254 minus the code is the number
    255           no legal position

For the distance to mate the number counts the winner's moves: mate is an odd number of plies away with the winner to
move and an even one with the loser, so a byte holds 254 plies. For the distance to the next capture, pawn move or mate
(a *leg*) it counts plies, and every leg of more than a hundred is `TOO_LONG`. A number that has no code is an
``OverflowError``, never another value.

A table for one side to move is a ``uint8`` array of shape
``(home squares of the white king, 64 black king, squares of the first man[, squares of the second man])``;
a pawn has the 48 squares of the ranks two to seven, every other man 64.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from matebot.solver.crew import Crew, can_compile, is_large
from matebot.solver.geometry import Codes, Words
from matebot.solver.material import Material
from matebot.solver.symmetry import REDUCTION, Mirrors

DRAW: Final = 128
ILLEGAL: Final = 255
#: The highest number a code holds, by winner (True: White).
MOST: Final = {True: DRAW - 1, False: ILLEGAL - 2 - DRAW}
#: The plies told for a leg that no halfmove clock leaves room for.
TOO_LONG: Final = 101
#: Stands for no distance.
NOWHERE: Final = 255
#: Tables of endings with so many men beside the kings are read by compiled loops, where there are any.
_MEN_COMPILED: Final = 3
#: Times eight bytes 0 or 1 it has them as bits in the highest byte, the first the lowest.
_GATHERING: Final = np.uint64(0x0102_0408_1020_4080)
PAWN_SQUARES: Final = np.arange(8, 56)
PAWN_RANKS: Final = 6
SQUARES: Final = np.arange(64)


def white_wins(code: int) -> bool:
    """Whether White wins."""
    return code < DRAW


def number_of(code: int) -> int | None:
    """Return the number behind a code, None for a draw or no position: the winner's moves to mate, or a leg's plies."""
    if code < DRAW:
        return code
    return 254 - code if DRAW < code < ILLEGAL else None


def mate_plies(code: int, white_to_move: bool) -> int | None:
    """Return the plies to mate behind a code, None for a draw or no position."""
    moves = number_of(code)
    return None if moves is None else 2 * moves - (white_wins(code) == white_to_move)


def outcome(code: int, white_to_move: bool) -> int:
    """Return 1 where the side to move wins, 0 for a draw, -1 where it loses."""
    return 0 if code == DRAW else 1 if white_wins(code) == white_to_move else -1


def longest_win(codes: Codes) -> int:
    """Return the highest code of a win of White's, 0 where there is none.

    >>> longest_win(np.array([0, 12, 127, 128, 200, 255], np.uint8)), longest_win(np.array([128, 255], np.uint8))
    (127, 0)
    """
    return max(0, int(codes.view(np.int8).max(initial=0)))  # what is no win of White's is negative


def code_of(number: int, winner: bool) -> int:
    """Return the code of a win (winner True: White's) with a number.

    Raises
    ------
    OverflowError
        when there is no such code
    """
    if not 0 <= number <= MOST[winner]:
        raise OverflowError(f"expected a number from 0 to {MOST[winner]}, the most a code holds, got {number}")
    return number if winner else 254 - number


def _mate_plies(winner: bool, white_to_move: bool) -> Codes:
    found = np.full(256, NOWHERE, np.uint8)
    for moves in range(winner == white_to_move, MOST[winner] + 1):
        found[code_of(moves, winner)] = 2 * moves - (winner == white_to_move)
    return found


#: Plies to mate behind each code, `NOWHERE` where the winner does not win: ``MATE_PLIES[winner][white_to_move]``.
MATE_PLIES: Final = {winner: {side: _mate_plies(winner, side) for side in (True, False)} for winner in (True, False)}

#: The leg behind each code of a distance to mate, where mate is all there is to a leg; by side to move.
MATES_AS_LEGS: Final = {
    side: np.array(
        [
            c if (plies := mate_plies(c, side)) is None else code_of(min(max(plies, 0), TOO_LONG), white_wins(c))
            for c in range(256)
        ],
        np.uint8,
    )
    for side in (True, False)
}


def flip(code: int) -> int:
    """Return the code of the same position with the colours exchanged; see `flipped`."""
    found = number_of(code)
    return code if found is None else code_of(found, not white_wins(code))


_FLIP: Final = np.array([c if MOST[False] < c <= DRAW else flip(c) for c in range(256)], np.uint8)


def flipped(codes: Codes) -> Codes:
    """Return the codes of the same positions with the colours exchanged.

    Nothing of five men is solved from codes that have been: there White has more men whatever is promoted.

    Raises
    ------
    OverflowError
        when White wins in more than Black's wins have codes for
    """
    if ((codes > MOST[False]) & (codes < DRAW)).any():
        raise OverflowError(f"expected wins in at most {MOST[False]}, to exchange colours, got a longer one")
    return np.asarray(_FLIP[codes])


def deepen(code: int, white_moved: bool) -> int:
    """Return the code to mate before a side's move into a position with this one: the winner's move counts."""
    found = number_of(code)
    return code if found is None or white_wins(code) != white_moved else code_of(found + 1, white_moved)


def undeepen(code: int, white_moves: bool) -> int:
    """Return the code a side's best move leads to, from a position with this one and a move; see `deepen`."""
    found = number_of(code)
    return code if found is None or white_wins(code) != white_moves else code_of(found - 1, white_moves)


def deepened(codes: Codes, white_moved: bool) -> Codes:
    """Return the codes to mate before one side's moves into positions with these; see `deepen`.

    Raises
    ------
    OverflowError
        when one has no code
    """
    won = (codes < DRAW) if white_moved else (codes > DRAW) & (codes != ILLEGAL)
    if (codes == code_of(MOST[white_moved], white_moved)).any():
        raise OverflowError(f"expected wins in less than {MOST[white_moved]} moves, the most a code holds")
    return np.asarray(codes + won if white_moved else codes - won)


def squares_of(man: str) -> NDArray[np.intp]:
    """Squares a man's axis runs over."""
    return PAWN_SQUARES if man == "P" else SQUARES


def squares_at(man: str, white: bool, ranks: int = PAWN_RANKS) -> NDArray[np.intp]:
    """Return the squares of a man's axis where every pawn may have to stand on the last so many ranks before promotion.

    >>> squares_at("P", True, 1)[[0, -1]].tolist(), squares_at("P", False, 2)[[0, -1]].tolist()
    ([48, 55], [8, 23])
    """
    if man != "P":
        return SQUARES
    return PAWN_SQUARES[-8 * ranks :] if white else PAWN_SQUARES[: 8 * ranks]


def unpack(words: Words) -> NDArray[np.uint8]:
    """Spread words into bytes 0 and 1; shape (...,) becomes (..., 64)."""
    octets = np.ascontiguousarray(words)[..., None].view(np.uint8)
    return np.unpackbits(octets, axis=-1, bitorder="little")


def pack(truth: NDArray[np.bool_]) -> Words:
    """Gather truth values into words; shape (..., 64) becomes (...,)."""
    octets = np.ascontiguousarray(truth).view(np.uint64) * _GATHERING
    octets >>= np.uint64(56)
    words: Words = octets.astype(np.uint8).view(np.uint64)[..., 0]
    return words


def present(codes: Codes, crew: Crew) -> frozenset[int]:
    """Return which codes there are in an array."""
    found = np.zeros((len(codes), 256), np.bool_)
    if is_large(codes.size // 8):
        crew.each(range(len(codes)), lambda number, hand: note(codes[number].reshape(-1), found[number]))
    else:
        for part, there in zip(codes, found, strict=True):
            there[:] = np.bincount(part.ravel(), minlength=256) > 0
    return frozenset(np.flatnonzero(found.any(axis=0)).tolist())


def note(codes: Codes, there: NDArray[np.bool_]) -> None:
    """Note which of the 256 codes there are among many: by a compiled loop where there is one."""
    if can_compile():
        from matebot.solver.row_kernels import look_up  # takes a while, so not before it is needed

        look_up(codes, there)
    else:
        there |= np.bincount(codes, minlength=256) > 0


def uniform(material: Material, code: int) -> Codes:
    """Return codes of an ending that are all the same wherever the men are apart, without the room for them."""
    shape = len(REDUCTION[material.has_pawns].home), 64, *(len(squares_of(man)) for man, _ in material.men)
    return np.broadcast_to(np.uint8(code), shape)


def _mark_together(codes: Codes, squares: list[NDArray[np.intp]]) -> None:
    """Make what has two men on one square no position; an axis for each man."""
    for axis, here in enumerate(squares):
        for other, there in enumerate(squares[:axis]):
            shape = [1] * len(squares)
            shape[axis], shape[other] = len(here), len(there)
            codes[np.broadcast_to((there[:, None] == here).reshape(shape), codes.shape)] = ILLEGAL


def _is_compiled(men: int) -> bool:
    return men == _MEN_COMPILED and can_compile()


def _read(
    rows: list[tuple[Codes, int]], kings: NDArray[np.intp], places: list[NDArray[np.intp]], out: Codes, crew: Crew
) -> None:
    """Write what is picked of the codes for a white king into his column, for several of them; see `expand`."""
    if _is_compiled(len(places)):
        from matebot.solver import row_kernels  # takes a while, so not before it is needed

        one, two, three = (place.astype(np.int64) for place in places)
        squares = kings.astype(np.int64), one, two, three
        crew.each(rows, lambda row, hand: row_kernels.expand(row[0], *squares, out, row[1]))
        return
    shape, into = rows[0][0].shape[1:], out.reshape(-1, *out.shape[-2:])
    picked = np.asarray(np.ravel_multi_index(np.ix_(*places), shape)).reshape(-1)
    for codes, column in rows:
        flat = codes.reshape(len(codes), -1)
        if len(picked) < flat.shape[1]:  # what makes it smaller comes first
            into[:, column] = flat.take(picked, 1).take(kings, 0).T
        else:
            into[:, column] = flat.take(kings, 0).take(picked, 1).T


def expand(
    table: Codes,
    material: Material,
    men_squares: list[NDArray[np.intp]],
    white_king: NDArray[np.intp],
    black_king: NDArray[np.intp],
    crew: Crew | None = None,
    order: list[int] | None = None,
) -> Codes:
    """Undo the reduction for chosen squares.

    Parameters
    ----------
    table : codes of an ending for one side to move, in the reduced layout
    men_squares : for each man, the squares wanted; a pawn off its ranks gives illegal positions
    crew : shares the work where there is much
    order : in which the men's axes follow each other in memory; by default as they stand

    Returns
    -------
    codes with the axes (men..., white king, black king), in the order of the squares given
    """
    reduction = REDUCTION[material.has_pawns]
    names = [man for man, _ in material.men]
    out = np.empty((*(len(s) for s in men_squares), len(white_king), len(black_king)), dtype=np.uint8)
    if order is not None and _is_compiled(len(names)):
        kings = len(names), len(names) + 1
        out = out.reshape([out.shape[axis] for axis in (*order, *kings)]).transpose(*np.argsort(order), *kings)
    offsets = [8 if name == "P" else 0 for name in names]
    if not any(table.strides):  # see `uniform`
        out[...] = table.flat[0]
        _mark_together(out, [*men_squares, white_king, black_king])
        white_king = white_king[:0]
    columns: dict[Mirrors, list[int]] = {}
    for column, king in enumerate(white_king.tolist()):
        columns.setdefault(reduction.mirrors[king], []).append(column)
    for alike in columns.values():
        mapped = np.frombuffer(reduction.mapped[white_king[alike[0]]], dtype=np.uint8).astype(np.intp)
        places = [
            np.clip(mapped[s] - offset, 0, 47 if offset else 63) for s, offset in zip(men_squares, offsets, strict=True)
        ]
        rows = [(table[reduction.king_class[white_king[column]]], column) for column in alike]
        _read(rows, mapped[black_king], places, out, crew or Crew())
    for axis, (squares, offset) in enumerate(zip(men_squares, offsets, strict=True)):
        off_ranks = (squares < 8) | (squares > 55)
        if offset and off_ranks.any():
            out[(slice(None),) * axis + (off_ranks,)] = ILLEGAL
    return out
