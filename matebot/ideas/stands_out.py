"""What all of the longest defences have in common and none of the shorter ones has.

Definition. A move of the defender, lost, that lasts as long as any, while others last less long. Each trait measures
the board after a move; told is the first that is greater after each move that lasts longest than after every other, of
those below that are to the point. *Together* and *away* are told of any move, the others of steps of the king.
*Together*, *apart*, *centre* and *away* are told where the move makes the measure no smaller, the centre also where it
tells the edge from what is off it, and only so where the attacker has a pawn or the defender more than one bishop or
knight beside the king; nor is the corner told of there. *Room* and *loose* are told of a bare king against men of which
none is a pawn, *loose* against bishops and knights only.

- *Together*: king and only man of the defender, in steps, the nearer the greater; with a piece.
- *Right corner*: the king's steps from the nearest corner of the bishop's colour; against bishop and knight.
- *Apart*: steps between the kings; the attacker has one piece, or bishops and knights, and no pawn.
- *Centre*: the king's steps from the edge, then from the four squares in the middle.
- *Corner*: the king's steps from the nearest corner; where it is in one after another.
- *Close*: steps between the kings, the nearer the greater; of a bare king, two steps from the other after the move.
- *Promotion*: the king's steps to the square on which the attacker's only pawn promotes, the nearer the greater; not
  where the corner tells them apart.
- *Away*: steps of the defender's only man, a rook or a bishop, from the attacker's king; three or more.
- *Room*: the squares off the edge of the board to which the king could step if it moved on; two or more.
- *Loose*: the king's steps to the attacker's nearest man that nobody guards, the nearer the greater; three at most.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import (
    CORNERS,
    Men,
    after_move,
    bishop_and_knight,
    from_edge,
    is_king_step,
    king_steps,
    kings_apart,
    men_of,
    shut_mask,
)
from matebot.ideas.their_man import their_man
from matebot.ideas.truth import Truth

Measure = Callable[[Men, chess.Color], int | None]
_MIDDLE = (chess.D4, chess.E4, chess.D5, chess.E5)
_BARRED = 2
_OUT_OF_REACH = 3
_IN_REACH = 3
_SOME = 2
_EDGE = chess.BB_RANK_1 | chess.BB_RANK_8 | chess.BB_FILE_A | chess.BB_FILE_H


class Trait(Enum):
    """What is measured."""

    TOGETHER = "together"
    RIGHT_CORNER = "right corner"
    APART = "apart"
    CENTRE = "centre"
    CORNER = "corner"
    CLOSE = "close"
    PROMOTION = "promotion"
    AWAY = "away"
    ROOM = "room"
    LOOSE = "loose"


@dataclass(frozen=True)
class StandsOut(Idea):
    """A trait that tells the longest defences from all others.

    Attributes
    ----------
    trait : which
    least, most : the measure at its least after a longest defence, at its most after a shorter one
    man : kind of the defender's only man, or of the attacker's loose one, None without
    goal : where the pawn promotes, or the loose man stands; None otherwise
    """

    kind: ClassVar[str] = "stands_out"
    trait: Trait
    least: int
    most: int
    man: chess.PieceType | None
    goal: chess.Square | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> StandsOut | None:
    """Return what tells the longest defences from the others, None where nothing does, or the move is none of them."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    worth = truth.after(before)
    plies = {other: item.mate_plies or 0 for other, item in worth.items() if item.outcome > 0}
    mine = plies.get(move)
    if mine is None or len(plies) < len(worth) or mine != max(plies.values()) or mine == min(plies.values()):
        return None
    longest, rest = list[Men](), list[Men]()
    for other, number in plies.items():
        there = after_move(before, other)
        (longest if number == mine else rest).append(men_of(there))
    found = _first_trait(before, move, men_of(after), attacker, longest, rest)
    if found is None:
        return None
    men = men_of(after)
    own = _loose(men, attacker) if found[0] is Trait.LOOSE else their_man(men, attacker)
    goal = {Trait.PROMOTION: _goal(men, attacker), Trait.LOOSE: own}.get(found[0])
    return StandsOut(*found, None if own is None else after.piece_type_at(own), goal)


def _first_trait(
    before: chess.Board, move: chess.Move, after: Men, attacker: chess.Color, longest: list[Men], shorter: list[Men]
) -> tuple[Trait, int, int] | None:
    """Return the first trait that is greater after all of some moves than after others: least, and most of the rest."""
    own = their_man(after, attacker)
    for trait, measure in _MEASURES.items():
        if not is_king_step(before, move) and trait not in _OF_ALL:
            continue
        if trait is Trait.TOGETHER and (own is None or after.pawns >> own & 1):
            continue
        if trait is Trait.AWAY and (own is None or not (after.rooks | after.bishops) >> own & 1):
            continue
        if trait is Trait.PROMOTION and _apart(_MEASURES[Trait.CORNER], attacker, longest, shorter) is not None:
            continue  # the corner is what the shorter ones come to grief in
        found = _apart(measure, attacker, longest, shorter)
        if found is not None and _to_the_point(trait, men_of(before), after, attacker, found):
            return trait, *found
    return None


def _apart(measure: Measure, attacker: chess.Color, longest: list[Men], shorter: list[Men]) -> tuple[int, int] | None:
    """Return the least measure of some boards and the most of others where it is smaller, None otherwise."""
    first, second = list[int](), list[int]()
    for men in longest:
        if (number := measure(men, attacker)) is None:
            return None
        first.append(number)
    least = min(first)
    for men in shorter:
        if (number := measure(men, attacker)) is None or number >= least:
            return None  # mostly by the first ones: the others need no measure
        second.append(number)
    return least, max(second)


def _to_the_point(trait: Trait, before: Men, after: Men, attacker: chess.Color, found: tuple[int, int]) -> bool:
    least, most = found
    off_edge = trait is Trait.CENTRE and most <= 0 < least
    if trait in (Trait.CENTRE, Trait.CORNER) and not off_edge and not _driven_to_the_edge(after, attacker):
        return False
    if trait in _KEPT and not off_edge:
        was, now = (_MEASURES[trait](men, attacker) for men in (before, after))
        if was is not None and now is not None and now < was:
            return False
    if trait is Trait.CORNER:
        return not most
    if trait is Trait.AWAY:
        return least >= _OUT_OF_REACH
    if trait is Trait.ROOM:
        return least >= _SOME
    if trait is Trait.LOOSE:
        return -least <= _IN_REACH
    if trait is Trait.CLOSE:
        return kings_apart(after) == _BARRED and not after.of(not attacker) & ~after.kings
    if trait is Trait.APART:
        own = after.of(attacker)
        return not after.pawns & own and (own.bit_count() == 2 or not (after.rooks | after.queens) & own)
    return True


def _driven_to_the_edge(men: Men, attacker: chess.Color) -> bool:
    """Whether the king is to be mated as it stands, on the edge: no pawn has to promote, no man to be won first."""
    own = men.of(not attacker) & ~men.kings
    return not men.pawns & men.of(attacker) and own.bit_count() <= 1 and not own & ~(men.bishops | men.knights)


def _together(men: Men, attacker: chess.Color) -> int | None:
    own = their_man(men, attacker)
    return None if own is None else -king_steps(men.king(not attacker), own)


def _corner(men: Men, attacker: chess.Color) -> int:
    return min(king_steps(men.king(not attacker), corner) for corner in CORNERS)


def _right_corner(men: Men, attacker: chess.Color) -> int | None:
    minors = bishop_and_knight(men, attacker)
    if minors is None or men.of(not attacker) & ~men.kings:
        return None
    dark = chess.BB_SQUARES[minors[0]] & chess.BB_DARK_SQUARES
    corners = (chess.A1, chess.H8) if dark else (chess.A8, chess.H1)
    return min(king_steps(men.king(not attacker), corner) for corner in corners)


def _centre(men: Men, attacker: chess.Color) -> int:
    king = men.king(not attacker)
    return 100 * from_edge(king) - 20 * min(king_steps(king, square) for square in _MIDDLE)


def _promotion(men: Men, attacker: chess.Color) -> int | None:
    goal = _goal(men, attacker)
    return None if goal is None else -king_steps(men.king(not attacker), goal)


def _goal(men: Men, attacker: chess.Color) -> chess.Square | None:
    pawns = men.pawns & men.of(attacker)
    return chess.square(chess.square_file(pawns.bit_length() - 1), 7 * attacker) if pawns.bit_count() == 1 else None


def _away(men: Men, attacker: chess.Color) -> int | None:
    own = their_man(men, attacker)
    return None if own is None else king_steps(men.king(attacker), own)


def _room(men: Men, attacker: chess.Color) -> int | None:
    """Return the squares off the edge to which a bare king could step; None where it is not mated as it stands."""
    if men.pawns or men.of(not attacker) & ~men.kings:
        return None
    near = chess.BB_KING_ATTACKS[men.king(not attacker)]
    return (near & ~_EDGE & ~shut_mask(men, attacker)).bit_count()


def _to_loose(men: Men, attacker: chess.Color) -> int | None:
    """Return the bare king's steps to the nearest loose man, the nearer the greater; None without one."""
    if men.pawns | men.rooks | men.queens or men.of(not attacker) & ~men.kings:
        return None
    loose = _loose(men, attacker)
    return None if loose is None else -king_steps(men.king(not attacker), loose)


def _loose(men: Men, attacker: chess.Color) -> chess.Square | None:
    """Return the square of the attacker's man nearest to the defending king of those that nobody guards."""
    loose = chess.scan_forward(men.of(attacker) & ~men.kings & ~shut_mask(men, attacker))
    return min(loose, key=lambda square: king_steps(men.king(not attacker), square), default=None)


#: What a move is not said to keep where it gives it up.
_KEPT = (Trait.TOGETHER, Trait.APART, Trait.CENTRE, Trait.AWAY)
_OF_ALL = (Trait.TOGETHER, Trait.AWAY)
_MEASURES: dict[Trait, Measure] = {
    Trait.TOGETHER: _together,
    Trait.RIGHT_CORNER: _right_corner,
    Trait.APART: lambda men, attacker: kings_apart(men),
    Trait.CENTRE: _centre,
    Trait.CORNER: _corner,
    Trait.CLOSE: lambda men, attacker: -kings_apart(men),
    Trait.PROMOTION: _promotion,
    Trait.AWAY: _away,
    Trait.ROOM: _room,
    Trait.LOOSE: _to_loose,
}
