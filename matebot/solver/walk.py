"""Every legal move of a position and the value it leads to, by plain integers and table look-ups.

Legality costs nothing: a move is legal when the position it leads to has a value.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from matebot.solver import geometry as geo
from matebot.solver.codes import ILLEGAL, deepen, flip, mate_plies
from matebot.solver.lookup import Reader, Stand, bare_kings
from matebot.solver.material import PROMOTIONS, Material


class Step(NamedTuple):
    """One legal move: squares, the man promoted to (or ""), whether it zeroes the clock, and where it leads.

    `code` is the DTM code after the move, seen from the White of the position it was played in. `child` may have the
    colours exchanged (`swapped`) to be canonical.
    """

    source: int
    target: int
    promotion: str
    zeroing: bool
    child: Stand
    swapped: bool
    code: int

    @property
    def mate_plies(self) -> int | None:
        """Plies to mate after the move, None where it leads to a draw."""
        return mate_plies(self.code, self.child.white_to_move != self.swapped)


def _bits(mask: int) -> tuple[int, ...]:
    return tuple(s for s in range(64) if mask >> s & 1)


_KING = [_bits(int(mask)) for mask in geo.KING]
_KNIGHT = [_bits(int(mask)) for mask in geo.KNIGHT]
_PAWN = {
    True: [_bits(int(m)) for m in geo.WHITE_PAWN],
    False: [_bits(int(m)) for m in geo.BLACK_PAWN],
}
_RAYS = {
    man: [[tuple(geo.ray(s, *d)) for d in directions if geo.ray(s, *d)] for s in range(64)]
    for man, directions in geo.RAYS_OF.items()
}


def _reached(man: str, source: int, occupied: tuple[int, ...]) -> list[int]:
    """Return the empty squares a piece reaches."""
    if man == "N":
        return [target for target in _KNIGHT[source] if target not in occupied]
    found = []
    for ray in _RAYS[man][source]:
        for target in ray:
            if target in occupied:
                break
            found.append(target)
    return found


@cache
def _arranged(
    men: tuple[tuple[str, bool], ...],
) -> tuple[Material | None, bool, tuple[int, ...]]:
    """Canonical material of men in any order, whether colours are exchanged, and the order of the men in it."""
    if not men:
        return None, False, ()
    material, swapped = Material.of("".join(m for m, w in men if w), "".join(m for m, w in men if not w))
    free = list(range(len(men)))
    order = []
    for man, white in material.men:
        number = next(i for i in free if men[i] == (man, white != swapped))
        free.remove(number)
        order.append(number)
    return material, swapped, tuple(order)


def arranged(
    white_to_move: bool,
    white_king: int,
    black_king: int,
    men: tuple[tuple[str, bool], ...],
    squares: tuple[int, ...],
    passed: int | None = None,
) -> tuple[Stand, bool]:
    """Bring men on squares into canonical form; also tell whether the colours had to be exchanged.

    Material outside the covered endings gives a `Stand` that no reader knows.
    """
    material, swapped, order = _arranged(men)
    if not swapped:
        placed = tuple(squares[i] for i in order)
        return Stand(material, white_to_move, white_king, black_king, placed, passed), False
    placed = tuple(squares[i] ^ 56 for i in order)
    behind = None if passed is None else passed ^ 56
    return Stand(material, not white_to_move, black_king ^ 56, white_king ^ 56, placed, behind), True


class _Here(NamedTuple):
    """What every move from a position needs: its men, and the reader of its ending."""

    men: tuple[tuple[str, bool], ...]
    reader: Reader


class Walk:
    """Moves and values over a set of solved endings.

    Parameters
    ----------
    reader : gives the reader of the DTM codes of an ending
    """

    def __init__(self, reader: Callable[[Material], Reader]) -> None:
        self._reader = reader

    def code(self, stand: Stand) -> int:
        """Return the DTM code of a position, the capture en passant taken into account."""
        if stand.material is None:
            return bare_kings(stand.white_king, stand.black_king)
        code = self._reader(stand.material).code(stand.white_to_move, stand.white_king, stand.black_king, stand.men)
        if stand.passed is None or code == ILLEGAL:
            return code
        steps = self.steps(stand)
        if not any(self._takes_en_passant(stand, step) for step in steps):
            return code
        white = stand.white_to_move
        return deepen((min if white else max)(step.code for step in steps), white)

    def steps(self, stand: Stand) -> list[Step]:
        """Return every legal move."""
        if stand.material is None:
            return []
        found: list[Step] = []
        white = stand.white_to_move
        king = stand.white_king if white else stand.black_king
        here = _Here(stand.material.men, self._reader(stand.material))
        for target in _KING[king]:
            self._try(stand, here, -1, king, target, "", found)
        for number, (man, colour) in enumerate(here.men):
            if colour == white:
                self._man(stand, here, number, man, found)
        return found

    def before(self, stand: Stand) -> list[Stand]:
        """Return the positions from which a move that does not zero the clock leads to this one."""
        assert stand.material is not None
        white = not stand.white_to_move
        occupied = (stand.white_king, stand.black_king, *stand.men)
        king = stand.white_king if white else stand.black_king
        origins = [origin for origin in _KING[king] if origin not in occupied]
        found = [stand._replace(white_king=o) if white else stand._replace(black_king=o) for o in origins]
        for number, (man, colour) in enumerate(stand.material.men):
            if colour == white and man != "P":
                before, after = stand.men[:number], stand.men[number + 1 :]
                origins = _reached(man, stand.men[number], occupied)
                found += [stand._replace(men=(*before, origin, *after)) for origin in origins]
        there = [place._replace(white_to_move=white, passed=None) for place in found]
        return [place for place in there if self.code(place) != ILLEGAL]

    def _man(self, stand: Stand, here: _Here, number: int, man: str, found: list[Step]) -> None:
        source = stand.men[number]
        if man == "N":
            for target in _KNIGHT[source]:
                self._try(stand, here, number, source, target, "", found)
        elif man == "P":
            self._pawn(stand, here, number, source, found)
        else:
            occupied = (stand.white_king, stand.black_king, *stand.men)
            for ray in _RAYS[man][source]:
                for target in ray:
                    self._try(stand, here, number, source, target, "", found)
                    if target in occupied:
                        break

    def _pawn(self, stand: Stand, here: _Here, number: int, source: int, found: list[Step]) -> None:
        white = stand.white_to_move
        occupied = (stand.white_king, stand.black_king, *stand.men)
        forward = 8 if white else -8
        if source + forward not in occupied:
            self._pawn_to(stand, here, number, source, source + forward, found)
            double = source + 2 * forward
            if source // 8 == (1 if white else 6) and double not in occupied:
                self._try(stand, here, number, source, double, "", found)
        for target in _PAWN[white][source]:
            if target in stand.men or target == stand.passed:
                self._pawn_to(stand, here, number, source, target, found)

    def _pawn_to(self, stand: Stand, here: _Here, number: int, source: int, target: int, found: list[Step]) -> None:
        for promotion in PROMOTIONS if target < 8 or target > 55 else ("",):
            self._try(stand, here, number, source, target, promotion, found)

    @staticmethod
    def _takes_en_passant(stand: Stand, step: Step) -> bool:
        return step.target == stand.passed and step.source != step.target and step.source in stand.men

    def _try(
        self,
        stand: Stand,
        here: _Here,
        number: int,
        source: int,
        target: int,
        promotion: str,
        found: list[Step],
    ) -> None:
        """Add a move if it is legal; `number` is the man's, -1 for the king."""
        material = stand.material
        assert material is not None
        white, men, squares = stand.white_to_move, here.men, stand.men
        pawn = number >= 0 and men[number][0] == "P"
        taken = target
        if pawn and target == stand.passed:
            taken = target + (-8 if white else 8)
        victim = squares.index(taken) if taken in squares else -1
        if victim >= 0 and men[victim][1] == white:
            return
        white_king = target if number < 0 and white else stand.white_king
        black_king = target if number < 0 and not white else stand.black_king
        if number >= 0:
            squares = (*squares[:number], target, *squares[number + 1 :])
        swapped = False
        if victim < 0 and not promotion:
            passed = (source + target) // 2 if pawn and abs(source - target) == 16 else None
            child = Stand(material, not white, white_king, black_king, squares, passed)
            code = here.reader.code(not white, white_king, black_king, squares)
            if passed is not None and code != ILLEGAL and self._neighbour(material, white, target, squares):
                code = self.code(child)
        else:
            if promotion:
                men = (*men[:number], (promotion, white), *men[number + 1 :])
            if victim >= 0:
                men, squares = (
                    men[:victim] + men[victim + 1 :],
                    squares[:victim] + squares[victim + 1 :],
                )
            child, swapped = arranged(not white, white_king, black_king, men, squares)
            code = self.code(child)
            code = flip(code) if swapped else code
        if code != ILLEGAL:
            found.append(Step(source, target, promotion, pawn or victim >= 0, child, swapped, code))

    @staticmethod
    def _neighbour(material: Material, white: bool, target: int, squares: tuple[int, ...]) -> bool:
        return any(
            man == "P" and colour != white and abs(square - target) == 1
            for (man, colour), square in zip(material.men, squares, strict=True)
        )
