"""Every legal move of a position and the value it leads to, by plain integers and table look-ups.

Legality costs nothing: a move is legal when the position it leads to has a value. And most moves cost little: one that
neither changes the material nor is a double step changes one digit of a place in a row of codes, or goes to the same
place of another row.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import NamedTuple

from matebot.solver import geometry as geo
from matebot.solver.codes import DRAW, ILLEGAL, deepen, flip, mate_plies, undeepen
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
#: What kings and knights reach, in the order of the squares, and of the squares with colours exchanged.
_LEAPS = {
    (man, turn): [tuple(sorted(targets, key=turn.__xor__)) for targets in found]
    for man, found in (("K", _KING), ("N", _KNIGHT))
    for turn in (0, 56)
}
_PAWN = {
    True: [_bits(int(m)) for m in geo.WHITE_PAWN],
    False: [_bits(int(m)) for m in geo.BLACK_PAWN],
}
_RAYS = {
    man: [[tuple(geo.ray(s, *d)) for d in directions if geo.ray(s, *d)] for s in range(64)]
    for man, directions in geo.RAYS_OF.items()
}


def _reached(man: str, source: int, occupied: tuple[int, ...]) -> list[int]:
    """Return the squares a queen, rook or bishop reaches, with those of the men that stop it."""
    found = []
    for ray in _RAYS[man][source]:
        for target in ray:
            found.append(target)
            if target in occupied:
                break
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


#: A move that may be legal: the man's number, -1 for the king, squares, and the man promoted to or "".
_Try = tuple[int, int, int, str]


class _Moves:
    """The moves of one position, and what all of them need."""

    __slots__ = ("_index", "_mapped", "_reader", "_row", "men", "stand")

    def __init__(self, stand: Stand, reader: Reader) -> None:
        assert stand.material is not None
        self.stand = stand
        self.men = stand.material.men
        self._reader = reader
        self._mapped = reader.mapped[stand.white_king]
        self._row = reader.row(not stand.white_to_move, stand.white_king, stand.black_king)
        self._index = reader.index(stand.white_king, stand.men)

    def tries(self, turn: int = 0) -> Iterator[_Try]:
        """Yield what may be legal, by the squares left and gone to, each exclusive-or `turn`, then the promotion."""
        stand = self.stand
        white = stand.white_to_move
        origins = [(square, n) for n, square in enumerate(stand.men) if self.men[n][1] == white]
        origins.append((stand.white_king if white else stand.black_king, -1))
        for source, number in sorted((square ^ turn, number) for square, number in origins):
            for target in self._targets(number, source ^ turn, turn):
                last = number >= 0 and self.men[number][0] == "P" and not 7 < target < 56
                for promotion in PROMOTIONS if last else ("",):
                    yield number, source ^ turn, target, promotion

    def _targets(self, number: int, source: int, turn: int) -> Iterable[int]:
        man = "K" if number < 0 else self.men[number][0]
        if man in "KN":
            return _LEAPS[man, turn][source]
        stand = self.stand
        occupied = (stand.white_king, stand.black_king, *stand.men)
        found = self._pawn_targets(source, occupied) if man == "P" else _reached(man, source, occupied)
        return sorted(found, key=turn.__xor__)

    def _pawn_targets(self, source: int, occupied: tuple[int, ...]) -> list[int]:
        stand = self.stand
        forward = 8 if stand.white_to_move else -8
        found = [t for t in _PAWN[stand.white_to_move][source] if t in stand.men or t == stand.passed]
        if source + forward not in occupied:
            found.append(source + forward)
            double = source + 2 * forward
            if source // 8 == (1 if stand.white_to_move else 6) and double not in occupied:
                found.append(double)
        return found

    def quiet_code(self, number: int, source: int, target: int, promotion: str) -> int | None:
        """Return the code a move leads to, None where it changes the material or is a double step."""
        stand = self.stand
        if promotion or target in stand.men:
            return None
        if number >= 0:
            if self.men[number][0] == "P" and (abs(source - target) == 16 or target == stand.passed):
                return None
            return self._row[self._index + (self._mapped[target] - self._mapped[source]) * self._reader.strides[number]]
        if stand.white_to_move:
            return self._reader.code(False, target, stand.black_king, stand.men)
        return self._reader.row(True, stand.white_king, target)[self._index]

    def quiet(self, number: int, source: int, target: int, promotion: str, code: int) -> Step:
        """Return a move of which `quiet_code` gave the code."""
        stand = self.stand
        white, white_king, black_king, squares = stand.white_to_move, stand.white_king, stand.black_king, stand.men
        if number >= 0:
            squares = (*squares[:number], target, *squares[number + 1 :])
        elif white:
            white_king = target
        else:
            black_king = target
        pawn = number >= 0 and self.men[number][0] == "P"
        child = Stand(stand.material, not white, white_king, black_king, squares)
        return Step(source, target, promotion, pawn, child, False, code)


def _bare_steps(stand: Stand) -> list[Step]:
    """Return the moves of king against king."""
    white, found = stand.white_to_move, []
    source = stand.white_king if white else stand.black_king
    for target in _KING[source]:
        kings = (target, stand.black_king) if white else (stand.white_king, target)
        if bare_kings(*kings) != ILLEGAL:
            found.append(Step(source, target, "", False, Stand(None, not white, *kings, ()), False, DRAW))
    return found


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

    def steps(self, stand: Stand, turned: bool = False) -> list[Step]:
        """Return every legal move, in the order of squares; of those with colours exchanged where it is `turned`."""
        if stand.material is None:
            return _bare_steps(stand)
        moves = _Moves(stand, self._reader(stand.material))
        found = []
        for attempt in moves.tries(56 if turned else 0):
            code = moves.quiet_code(*attempt)
            step = self._loud(moves, *attempt) if code is None else moves.quiet(*attempt, code)
            if step is not None and step.code != ILLEGAL:
                found.append(step)
        return found

    def can_move(self, stand: Stand) -> bool:
        """Whether a position of an ending has a legal move."""
        assert stand.material is not None
        moves = _Moves(stand, self._reader(stand.material))
        for attempt in moves.tries():
            code = moves.quiet_code(*attempt)
            step = self._loud(moves, *attempt) if code is None else None
            if (code if step is None else step.code) not in (None, ILLEGAL):
                return True
        return False

    def best(self, stand: Stand, turned: bool) -> Step:
        """Return the first of the best moves of a position that has a move, in the order of `steps`."""
        assert stand.material is not None
        moves = _Moves(stand, self._reader(stand.material))
        wanted = undeepen(self.code(stand), stand.white_to_move)
        for attempt in moves.tries(56 if turned else 0):
            code = moves.quiet_code(*attempt)
            if code == wanted:
                return moves.quiet(*attempt, code)
            step = self._loud(moves, *attempt) if code is None else None
            if step is not None and step.code == wanted:
                return step
        raise ValueError(f"expected a position with a move, got {stand!r}")

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
                reached = _KNIGHT[stand.men[number]] if man == "N" else _reached(man, stand.men[number], occupied)
                origins = [origin for origin in reached if origin not in occupied]
                found += [stand._replace(men=(*before, origin, *after)) for origin in origins]
        there = [place._replace(white_to_move=white, passed=None) for place in found]
        return [place for place in there if self.code(place) != ILLEGAL]

    @staticmethod
    def _takes_en_passant(stand: Stand, step: Step) -> bool:
        return step.target == stand.passed and step.source != step.target and step.source in stand.men

    def _loud(self, moves: _Moves, number: int, source: int, target: int, promotion: str) -> Step | None:
        """Return a capture, promotion or double step, None where a man would take one of its own side."""
        stand, men, squares = moves.stand, moves.men, moves.stand.men
        material, white = stand.material, stand.white_to_move
        assert material is not None
        pawn = number >= 0 and men[number][0] == "P"
        taken = target
        if pawn and target == stand.passed:
            taken = target + (-8 if white else 8)
        victim = squares.index(taken) if taken in squares else -1
        if victim >= 0 and men[victim][1] == white:
            return None
        white_king = target if number < 0 and white else stand.white_king
        black_king = target if number < 0 and not white else stand.black_king
        if number >= 0:
            squares = (*squares[:number], target, *squares[number + 1 :])
        if victim < 0 and not promotion:
            child, swapped = Stand(material, not white, white_king, black_king, squares, (source + target) // 2), False
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
        return Step(source, target, promotion, pawn or victim >= 0, child, swapped, flip(code) if swapped else code)
