"""Practice positions: chosen from all won positions of an ending by stage and distance, no two alike but for symmetry.

The tables are searched as arrays and a few of the places found are drawn by lot, so nothing is tried and thrown away.
Never judges a position itself: distance comes from the tables, stage from the ladder.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from random import Random

import chess
import numpy as np
from numpy.typing import NDArray

from matebot.errors import UserError
from matebot.method.crowd import Crowd, Layout, Numbers
from matebot.method.ladder import Ladder
from matebot.method.library import Library
from matebot.method.plans import PLANS
from matebot.solver.codes import DRAW, flipped
from matebot.solver.geometry import Codes
from matebot.solver.material import Material
from matebot.solver.symmetry import Mirrors, mirrored

#: Every mirror of the board, and those that leave a pawn's way as it is.
_ALL_MIRRORS: tuple[Mirrors, ...] = tuple(product((False, True), (False, True), (False, True)))
_FILE_MIRRORS: tuple[Mirrors, ...] = ((False, False, False), (True, False, False))

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
    ladder: Ladder | None
    stage: int | None


def practice(library: Library, wish: Wish, count: int, seed: int) -> list[Practice]:
    """Return so many different practice positions; the same seed gives the same ones.

    All are won by the strong side, legal, not over yet, and have no history; they are turned and mirrored by lot.

    Raises
    ------
    UserError
        when there are no such positions, or not so many; the text tells which there are
    """
    random = Random(seed)
    found: list[Practice] = []
    for drawn in _distinct(_search(library, wish), random):
        found.append(drawn)
        if len(found) == count:
            return found
    raise UserError(f"expected a count of at most {len(found)}, as many such positions there are, got {count!r}")


@dataclass(frozen=True, slots=True)
class _Found:
    """Places in the tables that fulfil a wish, some with the attacker to move, the rest with the defender."""

    wish: Wish
    ladder: Ladder | None
    layout: Layout
    places: dict[bool, Numbers]
    codes: dict[bool, Codes]

    def __len__(self) -> int:
        return sum(map(len, self.places.values()))

    def at(self, number: int) -> tuple[bool, int]:
        """Return whether the attacker is to move, and the place."""
        for attacker_to_move, places in self.places.items():
            if number < len(places):
                return attacker_to_move, int(places[number])
            number -= len(places)
        raise IndexError(number)


def _search(library: Library, wish: Wish) -> _Found:
    material = wish.material
    ladders = [] if wish.turned else library.ladders(material)
    ladder, stage = _staged(ladders, wish) if wish.stage is not None else (ladders[0] if ladders else None, None)
    codes = {attacking: _codes(library, wish, attacking) for attacking in _sides(wish)}
    won = {attacking: (flat > 0) & (flat < DRAW) for attacking, flat in codes.items()}
    if not any(part.any() for part in won.values()):
        raise UserError(_never_won(library, wish))
    near = {attacking: part & _between(codes[attacking], attacking, wish) for attacking, part in won.items()}
    chosen = near
    if ladder is not None and stage is not None:
        there = {attacking: ladder.stages[attacking].ravel() == stage - 1 for attacking in codes}
        chosen = {attacking: part & there[attacking] for attacking, part in near.items()}
        won = {attacking: part & there[attacking] for attacking, part in won.items()}
    if not any(part.any() for part in chosen.values()):
        raise UserError(_none_there(wish, {side: codes[side][part] for side, part in won.items()}))
    places = {attacking: np.flatnonzero(part).astype(np.int64) for attacking, part in chosen.items()}
    return _Found(wish, ladder, Layout(material), places, codes)


def _codes(library: Library, wish: Wish, attacking: bool) -> Codes:
    """Return the codes for attacker or defender to move, seen from the attacker."""
    codes = library.tables.codes(wish.material, attacking != wish.turned).ravel()
    return flipped(np.maximum(codes, np.uint8(DRAW))) if wish.turned else codes  # the other side's wins do not matter


def _never_won(library: Library, wish: Wish) -> str:
    """Say that there are no won positions, or none but for the other side to move."""
    white, black = wish.material.white, wish.material.black
    name = f"K{black}K{white}" if wish.turned else wish.material.name
    if _sides(wish) != (True,):
        won = _codes(library, wish, True)
        moves = np.unique(won[(won > 0) & (won < DRAW)]).tolist()
        if moves:
            spans = ", ".join(_spans(moves))
            return f"expected the winner to move, as wherever {name} is won (mate in {spans}), got the other side"
    return f"expected an ending with positions the side named first wins, got {name!r}"


def _sides(wish: Wish) -> tuple[bool, ...]:
    """Return who may be to move: the attacker (True), the defender."""
    if wish.turn is None:
        return (True,)
    return (True, False) if wish.strong is None else (wish.turn == wish.strong,)


def _staged(ladders: list[Ladder], wish: Wish) -> tuple[Ladder, int]:
    """Return the ladder and the number of the stage asked for."""
    asked = (wish.stage or "").strip()
    if not ladders:
        endings = ", ".join(PLANS)
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


def _between(codes: Codes, attacker_to_move: bool, wish: Wish) -> NDArray[np.bool_]:
    if wish.mate_in is None:
        return np.ones(len(codes), dtype=np.bool_)
    low, high = wish.mate_in
    return (codes >= low) & (codes <= high)


def _none_there(wish: Wish, codes: dict[bool, Codes]) -> str:
    """Say which distances there are, when not those asked for."""
    there = sorted({int(code) for part in codes.values() for code in np.unique(part)})
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
        attacker_to_move, place = found.at(number)
        crowd = found.layout.positions(np.array([place]))
        key = (attacker_to_move, _alike(found.wish.material, crowd))
        board = _board(found.wish, crowd, attacker_to_move, random)
        # The tables leave out what no last move can have brought about; python-chess knows.
        if key in seen or not board.is_valid():
            continue
        seen.add(key)
        ladder = found.ladder
        stage = None if ladder is None else int(ladder.stages[attacker_to_move].flat[place]) + 1
        moves = int(found.codes[attacker_to_move][place])
        yield Practice(board, attacker_to_move, moves, ladder, stage)


def _mirrors(material: Material) -> tuple[Mirrors, ...]:
    return _FILE_MIRRORS if material.has_pawns else _ALL_MIRRORS


def _alike(material: Material, crowd: Crowd) -> tuple[int, ...]:
    """Return what two positions have in common if and only if one is a mirror image of the other."""
    squares = _squares(crowd)
    kinds = [("K", True), ("K", False), *material.men]
    images = (
        [(kind, mirrored(square, mirrors)) for kind, square in zip(kinds, squares, strict=True)]
        for mirrors in _mirrors(material)
    )
    return min(tuple(square for _, square in sorted(image)) for image in images)


def _squares(crowd: Crowd) -> list[int]:
    return [int(numbers[0]) for numbers in (crowd.white_king, crowd.black_king, *crowd.men)]


def _board(wish: Wish, crowd: Crowd, attacker_to_move: bool, random: Random) -> chess.Board:
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
    for (kind, white), square in zip(kinds, _squares(crowd), strict=True):
        piece = chess.Piece(chess.PIECE_SYMBOLS.index(kind.lower()), white == better)
        board.set_piece_at(mirrored(square, mirrors) ^ (0 if better else 56), piece)
    board.turn = strong if attacker_to_move else not strong
    return board
