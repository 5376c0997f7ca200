"""Where the men of one position go, by plain integers and without the ending's codes, which are dearer to read."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from matebot.solver import geometry as geo
from matebot.solver.lookup import CanonicalPosition
from matebot.solver.material import PROMOTIONS
from matebot.solver.seeing import BETWEEN, SEES


def _bits(mask: int) -> tuple[int, ...]:
    found = []
    while mask:
        found.append((mask & -mask).bit_length() - 1)
        mask &= mask - 1
    return tuple(found)


#: The squares next to each square.
KING: Final = [_bits(int(mask)) for mask in geo.KING]
_KNIGHT = [_bits(int(mask)) for mask in geo.KNIGHT]
_NEAR = SEES["K", True]
#: What kings and knights reach, in the order of the squares, and of the squares with colours exchanged.
_LEAPS = {
    (man, turn): [tuple(sorted(targets, key=turn.__xor__)) for targets in found]
    for man, found in (("K", KING), ("N", _KNIGHT))
    for turn in (0, 56)
}
_PAWN = {
    True: [_bits(int(m)) for m in geo.WHITE_PAWN],
    False: [_bits(int(m)) for m in geo.BLACK_PAWN],
}
_RAYS = {
    man: [[tuple(ray) for d in directions if (ray := geo.ray(s, *d))] for s in range(64)]
    for man, directions in geo.RAYS_OF.items()
}
_LINES = {man: [sum(1 << s for ray in rays for s in ray) for rays in found] for man, found in _RAYS.items()}
#: What a man on a line reaches is remembered by the men on its lines: about half a KiB each.
_SLIDES_KEPT = 8_192


def squares_reached(stand: CanonicalPosition, man: str, source: int, turn: int = 0) -> Sequence[int]:
    """Return the squares a man of the side to move may go to, as far as its own king and like-coloured men allow it.

    Those of sliding men include the square of the man that stops them, whosever it is; kings' and knights' all that
    are on the board. In the order of the squares exclusive-or `turn`.
    """
    if man in "KN":
        return _LEAPS[man, turn][source]
    occupied = (stand.white_king, stand.black_king, *stand.men)
    if man == "P":
        return sorted(_pawn_targets(stand, source, occupied), key=turn.__xor__)
    men = 0
    for square in occupied:
        men |= 1 << square
    return _slides(man, source, men & _LINES[man][source], turn)


@lru_cache(maxsize=_SLIDES_KEPT)
def _slides(man: str, source: int, stops: int, turn: int) -> tuple[int, ...]:
    """Return the squares a queen, rook or bishop reaches, with those of the men that stop it, given as bits."""
    found = []
    for ray in _RAYS[man][source]:
        for target in ray:
            found.append(target)
            if stops >> target & 1:
                break
    return tuple(sorted(found, key=turn.__xor__))


def _pawn_targets(stand: CanonicalPosition, source: int, occupied: tuple[int, ...]) -> list[int]:
    forward = 8 if stand.white_to_move else -8
    found = [t for t in _PAWN[stand.white_to_move][source] if t in stand.men or t == stand.passed]
    if source + forward not in occupied:
        found.append(source + forward)
        double = source + 2 * forward
        if source // 8 == (1 if stand.white_to_move else 6) and double not in occupied:
            found.append(double)
    return found


def king_can_move(stand: CanonicalPosition) -> bool:
    """Whether the king of the side to move has a legal move."""
    return _king_moves(stand, 1) > 0


def _king_moves(stand: CanonicalPosition, most: int = 8) -> int:
    """Return how many legal moves the king of the side to move has; no more than `most` are looked for."""
    white = stand.white_to_move
    king, other = (stand.white_king, stand.black_king) if white else (stand.black_king, stand.white_king)
    barred, occupied, theirs, count = _NEAR[other], 1 << other, list[tuple[list[int], int]](), 0
    if stand.material is not None:
        for (man, owner), square in zip(stand.material.men, stand.men, strict=True):
            occupied |= 1 << square
            if owner == white:
                barred |= 1 << square
            else:
                theirs.append((SEES[man, owner], square))
    for target in KING[king]:
        if barred >> target & 1:
            continue
        for seen, square in theirs:
            if seen[square] >> target & 1 and not BETWEEN[square][target] & occupied:
                break
        else:
            count += 1
            if count == most:
                break
    return count


def count_moves(stand: CanonicalPosition) -> int:
    """Return how many legal moves a position has."""
    count = _king_moves(stand)
    if stand.material is None:
        return count
    white = stand.white_to_move
    king = stand.white_king if white else stand.black_king
    men = list(zip(stand.material.men, stand.men, strict=True))
    occupied = 1 << stand.white_king | 1 << stand.black_king | sum(1 << square for square in stand.men)
    theirs = [(man, square) for (man, owner), square in men if owner != white]
    # Who sees the king on an empty board, and what lies between.
    lines = [(square, BETWEEN[square][king]) for man, square in theirs if SEES[man, not white][square] >> king & 1]
    free = ~(1 << king | sum(1 << square for (_, owner), square in men if owner == white))
    for (man, owner), source in men:
        if owner != white:
            continue
        left, allowed = occupied ^ 1 << source, free
        for square, between in lines:
            if not between & left:  # it has to come or stay in between, or to take
                allowed &= between | 1 << square
        for target in squares_reached(stand, man, source):
            if man == "P" and target == stand.passed:
                count += _may_take_passed(stand, left, lines)
            elif allowed >> target & 1:
                count += len(PROMOTIONS) if man == "P" and not 7 < target < 56 else 1
    return count


def _may_take_passed(stand: CanonicalPosition, left: int, lines: list[tuple[int, int]]) -> bool:
    """Whether a capture en passant leaves the king out of check.

    Parameters
    ----------
    left : the squares occupied without the pawn that takes
    lines : of the others' men that see the king on an empty board, their squares and what lies between
    """
    assert stand.passed is not None
    taken = stand.passed + (-8 if stand.white_to_move else 8)
    after = left ^ 1 << taken | 1 << stand.passed
    return all(square == taken or between & after for square, between in lines)
