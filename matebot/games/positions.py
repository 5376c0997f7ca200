"""Practice positions: chosen from all won positions of an ending by stage and distance, no two alike but for symmetry.

The tables are searched as arrays and a few of the places found are drawn by lot, so nothing is tried and thrown away.
Never judges a position itself: distance comes from the tables, stage from the ladder.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import islice, product
from random import Random

import chess
import numpy as np
from numpy.typing import NDArray

from matebot.errors import UserError
from matebot.method.batch import Batch, Layout, Numbers
from matebot.method.ladder import Rungs
from matebot.method.library import Library
from matebot.method.plans import ALL_PLANS
from matebot.records import dataclass
from matebot.solver.codes import DRAW, flipped
from matebot.solver.geometry import Codes
from matebot.solver.lookup import codes_at
from matebot.solver.material import Material
from matebot.solver.offer import is_large
from matebot.solver.symmetry import Mirrors, mirrored
from matebot.solver.table_file import row_bytes

#: Every mirror of the board, and those that leave a pawn's way as it is.
_ALL_MIRRORS: tuple[Mirrors, ...] = tuple(product((False, True), (False, True), (False, True)))
_FILE_MIRRORS: tuple[Mirrors, ...] = ((False, False, False), (True, False, False))

#: To be counted each place becomes eight bytes; so many stay near the processor, which takes a third of the time.
_COUNTED_AT_ONCE = 1 << 16

Alike = tuple[bool, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Wish:
    """What practice positions are asked for.

    Attributes
    ----------
    stage : number (1 the first) or title of a stage, or a part of it that no other stage has; None for any
    mate_in : fewest and most moves to mate; None for any
    turn : the side to move; None for the attacker
    strong : the side that wins; None for either, by lot
    turned : whether the side wins that has the lesser men, the one `Material` has as Black
    """

    material: Material
    stage: str | None = None
    mate_in: tuple[int, int] | None = None
    turn: chess.Color | None = None
    strong: chess.Color | None = None
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Practice:
    """A practice position.

    Attributes
    ----------
    attacker_to_move : whether the side to move is the one that mates
    moves : the attacker's moves to mate, best play on both sides
    ladder, stage : where it stands, stage 1 the first; None without a ladder
    """

    board: chess.Board
    attacker_to_move: bool
    moves: int
    ladder: Rungs | None
    stage: int | None


def practice(library: Library, wish: Wish, count: int, seed: int) -> list[Practice]:
    """Return so many different practice positions; the same seed gives the same ones.

    All are won by the strong side, legal, not over yet, and have no history; they are turned and mirrored by lot.

    Raises
    ------
    UserError
        when there are no such positions, or not so many; the text tells which there are
    """
    found = list(islice(drawn(library, wish, seed), count))
    if len(found) == count:
        return found
    raise UserError(f"expected a count of at most {len(found)}, as many such positions there are, got {count!r}")


def drawn(library: Library, wish: Wish, seed: int) -> Iterator[Practice]:
    """Yield all such positions in the order of the seed; see `practice`."""
    return _distinct(_search(library, wish), Random(seed))


@dataclass(frozen=True, slots=True)
class _Table:
    """Codes with one side to move, seen from the attacker, in parts: all at once, or row by row with five men.

    Attributes
    ----------
    parts, width : how many there are, and how many places in each
    read : returns the codes of a part
    standing : of five men at a stage, the only places there are, all in one part, and their stages
    """

    parts: int
    width: int
    read: Callable[[int], Codes]
    standing: tuple[Numbers, Codes] | None = None


class _Found:
    """Places in the tables that fulfil a wish, some with the attacker to move, the rest with the defender.

    Attributes
    ----------
    won, there : by side how many are won at each distance: anywhere, and in the stage asked for
    """

    def __init__(self, library: Library, wish: Wish, ladder: Rungs | None, stage: int | None) -> None:
        self.wish, self.ladder, self._stage, self._library = wish, ladder, stage, library
        self.layout = Layout(wish.material)
        self._tables = {
            attacking: _on_ladder(library, ladder, attacking)
            if ladder is not None and stage is not None and is_large(wish.material)
            else _table(library, wish, attacking)
            for attacking in _sides(wish)
        }
        self.won, self.there = np.zeros(256, np.int64), np.zeros(256, np.int64)
        self._counts = {attacking: self._count(attacking) for attacking in self._tables}
        self._places = lru_cache(maxsize=2)(self._look)

    def __len__(self) -> int:
        return sum(int(counts.sum()) for counts in self._counts.values())

    def at(self, number: int) -> tuple[bool, int, int]:
        """Return whether the attacker is to move, the place, and the moves to mate."""
        for attacking, counts in self._counts.items():
            if number < (total := int(counts.sum())):
                part = int(np.searchsorted(np.cumsum(counts), number, side="right"))
                places, codes = self._places(attacking, part)
                place, table = int(places[number - int(counts[:part].sum())]), self._tables[attacking]
                if table.standing is not None:
                    return attacking, int(table.standing[0][place]), int(codes[place])
                return attacking, part * table.width + place, int(codes[place])
            number -= total
        raise IndexError(number)

    def stage_at(self, attacking: bool, place: int) -> int | None:
        """Return the number of the stage at a place, None where it is not on the ladder."""
        assert self.ladder is not None
        width = row_bytes(self.wish.material) if is_large(self.wish.material) else self._tables[attacking].width
        part, place = divmod(place, width)
        stage = int(self.ladder.stages_in(attacking, part, width)[place])
        return stage + 1 if stage < DRAW else None

    def _count(self, attacking: bool) -> Numbers:
        """Return how many places of each part fulfil the wish."""
        table, counts = self._tables[attacking], list[int]()
        low, high = self.wish.mate_in or (0, DRAW)
        for part in range(table.parts):
            won, there = self._by_distance(attacking, part)
            self.won += won
            self.there += there
            counts.append(int(there[max(low, 0) : max(high, 0) + 1].sum()))
        return np.array(counts, np.int64)

    def _by_distance(self, attacking: bool, part: int) -> tuple[Numbers, Numbers]:
        """Return how many places of a part are won at each distance: anywhere, and in the stage asked for."""
        table, ladder = self._tables[attacking], None if self._stage is None else self.ladder
        if is_large(self.wish.material):
            codes = table.read(part)
            found = (_is_won(codes), self._there(attacking, part, codes))
            won, there = (np.bincount(codes[places], minlength=256) for places in found)
            return won, there
        key = self.wish.material, self.wish.turned, attacking, None if ladder is None else ladder.plan.name
        if key not in self._library.counted:
            self._library.counted[key] = _counted(table.read(part), ladder, attacking)
        by_stage = self._library.counted[key]
        return by_stage.sum(axis=0), by_stage.sum(axis=0) if self._stage is None else by_stage[self._stage - 1]

    def _look(self, attacking: bool, part: int) -> tuple[Numbers, Codes]:
        codes = self._tables[attacking].read(part)
        fits = self._there(attacking, part, codes) & _between(codes, self.wish)
        return np.flatnonzero(fits).astype(np.int64), codes

    def _there(self, attacking: bool, part: int, codes: Codes) -> NDArray[np.bool_]:
        won = _is_won(codes)
        if self.ladder is None or self._stage is None:
            return won
        standing = self._tables[attacking].standing
        stages = self.ladder.stages_in(attacking, part, len(codes)) if standing is None else standing[1]
        return np.asarray(won & (stages == self._stage - 1))


def _counted(codes: Codes, ladder: Rungs | None, attacking: bool) -> Numbers:
    """Return how many places are won in each stage of a ladder, and last in none: shape (stages + 1, 256 distances)."""
    none = 0 if ladder is None else len(ladder.plan.stages)
    mixed = codes.astype(np.uint16)
    if ladder is not None:
        mixed += np.minimum(ladder.stages_in(attacking, 0, len(codes)), np.uint8(none)) * np.uint16(256)
    counts = np.zeros(256 * (none + 1), np.int64)
    for start in range(0, len(mixed), _COUNTED_AT_ONCE):
        counts += np.bincount(mixed[start : start + _COUNTED_AT_ONCE], minlength=len(counts))
    return np.where(_is_won(np.arange(256, dtype=np.uint8)), counts.reshape(none + 1, 256), 0)


def _search(library: Library, wish: Wish) -> _Found:
    ladders = [] if wish.turned else library.ladders(wish.material, wanted=wish.stage is not None)
    ladder, stage = _staged(ladders, wish) if wish.stage is not None else (ladders[0] if ladders else None, None)
    found = _Found(library, wish, ladder, stage)
    if not found.won.any():
        raise UserError(_never_won(library, wish))
    if not len(found):
        raise UserError(_none_there(wish, np.flatnonzero(found.there).tolist()))
    return found


def _is_won(codes: Codes) -> NDArray[np.bool_]:
    return np.asarray((codes > 0) & (codes < DRAW))


def _table(library: Library, wish: Wish, attacking: bool) -> _Table:
    """Return the codes for attacker or defender to move."""
    tables, material, side = library.tables, wish.material, attacking != wish.turned

    def seen(codes: Codes) -> Codes:  # the other side's wins do not matter
        return flipped(np.maximum(codes, np.uint8(DRAW))) if wish.turned else codes

    if is_large(material):
        parts = tables.rows(material)
        return _Table(parts, row_bytes(material), lambda part: seen(tables.row_in_time(material, side, part)))
    whole = seen(tables.codes(material, side).ravel())
    return _Table(1, len(whole), lambda part: whole)


def _on_ladder(library: Library, ladder: Rungs, attacking: bool) -> _Table:
    """Return the codes of the positions of a ladder of five men, looked up once in the life of a library.

    Each has been proved to be won in time, so the legs need not be asked.
    """
    key = ladder.plan.name, attacking
    if key not in library.standing_in:
        material, width, found = ladder.material, row_bytes(ladder.material), list[tuple[Numbers, Codes, Codes]]()
        for number in range(library.tables.rows(material)):
            stages = ladder.stages_in(attacking, number, width)
            places = np.flatnonzero(stages < DRAW)
            if places.size:
                codes = codes_at(library.tables.row(material, attacking, *divmod(number, 64)), places)
                found.append((places + number * width, codes, stages[places]))
        library.standing_in[key] = tuple(np.concatenate(parts) for parts in zip(*found, strict=True))
    places, codes, stages = library.standing_in[key]
    return _Table(1, len(codes), lambda part: codes, (places, stages))


def _never_won(library: Library, wish: Wish) -> str:
    """Say that there are no won positions, or none but for the other side to move."""
    white, black = wish.material.white, wish.material.black
    name = f"K{black}K{white}" if wish.turned else wish.material.name
    if _sides(wish) != (True,):
        table = _table(library, wish, True)
        won = sum(np.bincount(c[_is_won(c)], minlength=256) for c in map(table.read, range(table.parts)))
        moves = np.flatnonzero(won).tolist()
        if moves:
            spans = ", ".join(_spans(moves))
            return f"expected the winner to move, as wherever {name} is won (mate in {spans}), got the other side"
    return f"expected an ending with positions the side named first wins, got {name!r}"


def _sides(wish: Wish) -> tuple[bool, ...]:
    """Return who may be to move: the attacker (True), the defender."""
    if wish.turn is None:
        return (True,)
    return (True, False) if wish.strong is None else (wish.turn == wish.strong,)


def _staged(ladders: list[Rungs], wish: Wish) -> tuple[Rungs, int]:
    """Return the ladder and the number of the stage asked for."""
    asked = (wish.stage or "").strip()
    if not ladders:
        endings = ", ".join(ALL_PLANS)
        raise UserError(
            f"expected no stage with an ending that has no ladder (those with one: {endings}), got {asked!r}"
        )
    if asked.isdecimal() and 1 <= int(asked) <= len(ladders[0].plan.stages):
        return ladders[0], int(asked)
    titles = [(item, number, s.title) for item in ladders for number, s in enumerate(item.plan.stages, start=1)]
    word = asked.casefold()
    for fits in (word.__eq__, lambda title: bool(word) and word in title):
        fitting = [(ladder, number) for ladder, number, title in titles if fits(title.casefold())]
        if len(fitting) == 1:
            return fitting[0]
    known = "; ".join(f"{number} {title}" if item is ladders[0] else title for item, number, title in titles)
    raise UserError(f"expected one stage of {wish.material.name} ({known}), got {asked!r}")


def _between(codes: Codes, wish: Wish) -> NDArray[np.bool_]:
    if wish.mate_in is None:
        return np.ones(len(codes), dtype=np.bool_)
    low, high = wish.mate_in
    return (codes >= low) & (codes <= high)


def _none_there(wish: Wish, there: list[int]) -> str:
    """Say which distances there are, when not those asked for."""
    spans = ", ".join(_spans(there)) or "none"
    low, high = wish.mate_in or ("any", "any")
    asked = f"{low}" if low == high else f"{low}..{high}"
    stage = f" in stage {wish.stage!r}" if wish.stage is not None else ""
    return f"expected a distance that occurs{stage} in {wish.material.name} (mate in {spans}), got {asked!r}"


def _spans(numbers: list[int]) -> Iterator[str]:
    """Write ascending numbers in short: ``1..4``, ``7``."""
    begin = None
    for number in numbers:
        begin = number if begin is None else begin
        if number + 1 not in numbers:
            yield f"{begin}" if begin == number else f"{begin}..{number}"
            begin = None


def shuffled(size: int, random: Random) -> Iterator[int]:
    """Yield 0 to size - 1 in a random order, at the cost of those taken only.

    Uses ``random.random()`` alone, whose numbers Python promises to keep from version to version.
    """
    moved: dict[int, int] = {}
    for step in range(size):
        other = step + int(random.random() * (size - step))
        yield moved.get(other, other)
        moved[other] = moved.pop(step, step)


def _distinct(found: _Found, random: Random) -> Iterator[Practice]:
    seen: set[Alike] = set()
    for number in shuffled(len(found), random):
        attacker_to_move, place, moves = found.at(number)
        batch = found.layout.positions(np.array([place]))
        key = (attacker_to_move, _alike(found.wish.material, batch))
        board = _board(found.wish, batch, attacker_to_move, random)
        # The tables leave out what no last move can have brought about; python-chess knows.
        if key in seen or not board.is_valid():
            continue
        seen.add(key)
        ladder = found.ladder
        stage = None if ladder is None else found.stage_at(attacker_to_move, place)
        yield Practice(board, attacker_to_move, moves, ladder, stage)


def _mirrors(material: Material) -> tuple[Mirrors, ...]:
    return _FILE_MIRRORS if material.has_pawns else _ALL_MIRRORS


def _alike(material: Material, batch: Batch) -> tuple[int, ...]:
    """Return what two positions have in common if and only if one is a mirror image of the other."""
    squares = _squares(batch)
    kinds = [("K", True), ("K", False), *material.men]
    images = (
        [(kind, mirrored(square, mirrors)) for kind, square in zip(kinds, squares, strict=True)]
        for mirrors in _mirrors(material)
    )
    return min(tuple(square for _, square in sorted(image)) for image in images)


def _squares(batch: Batch) -> list[int]:
    return [int(numbers[0]) for numbers in (batch.white_king, batch.black_king, *batch.men)]


def _board(wish: Wish, batch: Batch, attacker_to_move: bool, random: Random) -> chess.Board:
    """Put a position on the board, its colours and its mirror image chosen by lot as far as they are free."""
    images = _mirrors(wish.material)
    mirrors = images[int(random.random() * len(images))]
    by_lot = random.random() < 0.5
    strong = wish.strong if wish.strong is not None else by_lot
    if wish.turn is not None:
        strong = wish.turn if attacker_to_move else not wish.turn
    better = strong != wish.turned  # the colour of the side the material has as White
    board = chess.Board(None)
    kinds = [("K", True), ("K", False), *wish.material.men]
    for (kind, white), square in zip(kinds, _squares(batch), strict=True):
        piece = chess.Piece(chess.PIECE_SYMBOLS.index(kind.lower()), white == better)
        board.set_piece_at(mirrored(square, mirrors) ^ (0 if better else 56), piece)
    board.turn = strong if attacker_to_move else not strong
    return board
