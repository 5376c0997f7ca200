"""Every legal move of a position and the value it leads to, by plain integers and table look-ups.

Legality costs nothing: a move is legal when the position it leads to has a value. And most moves cost little: one that
neither changes the material nor is a double step changes one digit of a place in a row of codes, or goes to the same
place of another row.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from typing import NamedTuple

from matebot.solver.codes import DRAW, ILLEGAL, deepen, flip, mate_plies, undeepen
from matebot.solver.lookup import CanonicalPosition, Reader, bare_kings
from matebot.solver.material import PROMOTIONS, Material
from matebot.solver.mobility import KING, king_can_move, squares_reached

#: Positions whose best move is remembered: lines run together, and the next answer shows the rest of the last line.
#: About half a KiB each.
_BEST_KEPT = 8_192
#: Makes a named tuple of all its fields as its own constructor does, without a call of Python's in between.
_tuple = tuple.__new__


class Step(NamedTuple):
    """One legal move: squares, the man promoted to (or ""), whether it zeroes the clock, and where it leads.

    `code` is the DTM code after the move, seen from the White of the position it was played in. `child` may have the
    colours exchanged (`swapped`) to be canonical.
    """

    source: int
    target: int
    promotion: str
    zeroing: bool
    child: CanonicalPosition
    swapped: bool
    code: int

    @property
    def mate_plies(self) -> int | None:
        """Plies to mate after the move, None where it leads to a draw."""
        return mate_plies(self.code, self.child.white_to_move != self.swapped)


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
) -> tuple[CanonicalPosition, bool]:
    """Bring men on squares into canonical form; also tell whether the colours had to be exchanged.

    Material outside the covered endings gives a `CanonicalPosition` that no reader knows.
    """
    material, swapped, order = _arranged(men)
    if not swapped:
        placed = tuple(squares[i] for i in order)
        return CanonicalPosition(material, white_to_move, white_king, black_king, placed, passed), False
    placed = tuple(squares[i] ^ 56 for i in order)
    behind = None if passed is None else passed ^ 56
    return CanonicalPosition(material, not white_to_move, black_king ^ 56, white_king ^ 56, placed, behind), True


#: The moves of one man that may be legal: its number, -1 for the king, its square, where it goes to, and the codes
#: there, None where the material changes or a pawn makes a double step.
_Group = tuple[int, int, Sequence[int], list[int | None]]


class _Moves:
    """The moves of one position, and what all of them need."""

    __slots__ = ("_index", "_mapped", "_reader", "_row", "men", "stand")

    def __init__(self, stand: CanonicalPosition, reader: Reader) -> None:
        assert stand.material is not None
        self.stand = stand
        self.men = stand.material.men
        self._reader = reader
        self._mapped = reader.mapped[stand.white_king]
        self._row = reader.row(not stand.white_to_move, stand.white_king, stand.black_king)
        self._index = reader.index(stand.white_king, stand.men)

    def groups(self, turn: int = 0) -> Iterator[_Group]:
        """Yield what may be legal, by the squares left and gone to, each exclusive-or `turn`."""
        stand = self.stand
        white = stand.white_to_move
        origins = [(square ^ turn, n) for n, square in enumerate(stand.men) if self.men[n][1] == white]
        origins.append(((stand.white_king if white else stand.black_king) ^ turn, -1))
        for square, number in sorted(origins):
            source = square ^ turn
            man = "K" if number < 0 else self.men[number][0]
            reached = squares_reached(stand, man, source, turn)
            yield number, source, reached, self._codes(number, source, reached)

    def _codes(self, number: int, source: int, targets: Sequence[int]) -> list[int | None]:
        stand = self.stand
        codes: list[int | None]
        if number >= 0:
            row, mapped, stride = self._row, self._mapped, self._reader.strides[number]
            if self.men[number][0] == "P":
                return [
                    row[self._index + (mapped[t] - mapped[source]) * stride] if self._is_quiet(source, t) else None
                    for t in targets
                ]
            rest = self._index - mapped[source] * stride
            codes = [row[rest + mapped[target] * stride] for target in targets]
        elif stand.white_to_move:
            codes = list(self._reader.codes_of_white_king(targets, stand.black_king, stand.men))
        else:
            index = self._index
            codes = [row[index] for row in self._reader.rows_of_black_king(stand.white_king, targets)]
        for square in stand.men:
            if square in targets:
                codes[targets.index(square)] = None
        return codes

    def _is_quiet(self, source: int, target: int) -> bool:
        """Whether a pawn's move is no capture, no promotion and no double step."""
        return abs(source - target) == 8 and 7 < target < 56

    def quiet(self, number: int, source: int, target: int, code: int) -> Step:
        """Return a move that has a code in its group."""
        stand = self.stand
        white, white_king, black_king, squares = stand.white_to_move, stand.white_king, stand.black_king, stand.men
        if number >= 0:
            squares = (*squares[:number], target, *squares[number + 1 :])
        elif white:
            white_king = target
        else:
            black_king = target
        pawn = number >= 0 and self.men[number][0] == "P"
        child = _tuple(CanonicalPosition, (stand.material, not white, white_king, black_king, squares, None))
        return _tuple(Step, (source, target, "", pawn, child, False, code))


def _bare_steps(stand: CanonicalPosition) -> list[Step]:
    """Return the moves of king against king."""
    white, found = stand.white_to_move, []
    source = stand.white_king if white else stand.black_king
    for target in KING[source]:
        kings = (target, stand.black_king) if white else (stand.white_king, target)
        if bare_kings(*kings) != ILLEGAL:
            found.append(Step(source, target, "", False, CanonicalPosition(None, not white, *kings, ()), False, DRAW))
    return found


class Successors:
    """Moves and values over a set of solved endings.

    Parameters
    ----------
    reader : gives the reader of the DTM codes of an ending
    """

    def __init__(self, reader: Callable[[Material], Reader]) -> None:
        self._reader = reader
        self._best: dict[tuple[CanonicalPosition, bool], Step] = {}

    def code(self, stand: CanonicalPosition) -> int:
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

    def steps(self, stand: CanonicalPosition, turned: bool = False) -> list[Step]:
        """Return every legal move, in the order of squares; of those with colours exchanged where it is `turned`."""
        if stand.material is None:
            return _bare_steps(stand)
        moves = _Moves(stand, self._reader(stand.material))
        found = []
        for number, source, targets, codes in moves.groups(56 if turned else 0):
            for target, code in zip(targets, codes, strict=True):
                if code is None:
                    found += self._loud(moves, number, source, target)
                elif code != ILLEGAL:
                    found.append(moves.quiet(number, source, target, code))
        return found

    def codes(self, stand: CanonicalPosition, turned: bool = False) -> list[tuple[int, int, str, int]]:
        """Return every legal move by its squares and the man promoted to, with the DTM code it leads to.

        In the order of `steps`, and without the positions that the moves lead to, which take twice as long.
        """
        if stand.material is None:
            return [(step.source, step.target, "", step.code) for step in _bare_steps(stand)]
        moves = _Moves(stand, self._reader(stand.material))
        found = []
        for number, source, targets, codes in moves.groups(56 if turned else 0):
            for target, code in zip(targets, codes, strict=True):
                if code is None:
                    loud = self._loud(moves, number, source, target)
                    found += [(source, target, step.promotion, step.code) for step in loud]
                elif code != ILLEGAL:
                    found.append((source, target, "", code))
        return found

    def can_move(self, stand: CanonicalPosition) -> bool:
        """Whether a position of an ending has a legal move."""
        assert stand.material is not None
        if king_can_move(stand):
            return True  # as nearly always, and no row is read for it
        moves = _Moves(stand, self._reader(stand.material))
        for number, source, targets, codes in moves.groups():
            for target, code in zip(targets, codes, strict=True):
                if self._loud(moves, number, source, target) if code is None else code != ILLEGAL:
                    return True
        return False

    def best(self, stand: CanonicalPosition, turned: bool, code: int | None = None) -> Step:
        """Return the first of the best moves of a position that has a move, in the order of `steps`.

        Parameters
        ----------
        code : of the position, if it is known
        """
        key = stand, turned
        found = self._best.get(key)
        if found is None:
            if len(self._best) >= _BEST_KEPT:
                self._best.clear()
            found = next(self.all_best(stand, turned, code), None)
            if found is None:
                raise ValueError(f"expected a position with a move, got {stand!r}")
            self._best[key] = found
        return found

    def all_best(self, stand: CanonicalPosition, turned: bool, code: int | None = None) -> Iterator[Step]:
        """Yield the best moves of a position that has a move, in the order of `steps`; see `best`."""
        assert stand.material is not None
        moves = _Moves(stand, self._reader(stand.material))
        wanted = undeepen(self.code(stand) if code is None else code, stand.white_to_move)
        for number, source, targets, codes in moves.groups(56 if turned else 0):
            if wanted not in codes and None not in codes:
                continue
            for target, found in zip(targets, codes, strict=True):
                if found == wanted:
                    yield moves.quiet(number, source, target, wanted)
                for step in self._loud(moves, number, source, target) if found is None else ():
                    if step.code == wanted:
                        yield step

    @staticmethod
    def _takes_en_passant(stand: CanonicalPosition, step: Step) -> bool:
        return step.target == stand.passed and step.source != step.target and step.source in stand.men

    def _loud(self, moves: _Moves, number: int, source: int, target: int) -> list[Step]:
        """Return a capture, double step, or promotions, as far as they are legal."""
        stand, men, squares = moves.stand, moves.men, moves.stand.men
        material, white = stand.material, stand.white_to_move
        assert material is not None
        pawn = number >= 0 and men[number][0] == "P"
        taken = target + (-8 if white else 8) if pawn and target == stand.passed else target
        victim = squares.index(taken) if taken in squares else -1
        if victim >= 0 and men[victim][1] == white:
            return []
        white_king = target if number < 0 and white else stand.white_king
        black_king = target if number < 0 and not white else stand.black_king
        if number >= 0:
            squares = (*squares[:number], target, *squares[number + 1 :])
        if victim >= 0:
            squares = squares[:victim] + squares[victim + 1 :]
        found = []
        for promotion in PROMOTIONS if pawn and not 7 < target < 56 else ("",):
            if victim < 0 and not promotion:
                passed = (source + target) // 2
                child, swapped = CanonicalPosition(material, not white, white_king, black_king, squares, passed), False
            else:
                left = (*men[:number], (promotion, white), *men[number + 1 :]) if promotion else men
                if victim >= 0:
                    left = left[:victim] + left[victim + 1 :]
                child, swapped = arranged(not white, white_king, black_king, left, squares)
            code = self.code(child)
            if code != ILLEGAL:
                code = flip(code) if swapped else code
                found.append(Step(source, target, promotion, pawn or victim >= 0, child, swapped, code))
        return found
