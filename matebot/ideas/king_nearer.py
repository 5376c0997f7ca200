"""The attacking king comes nearer with a purpose.

Definition. A step of the attacker's king that serves at least one of these, in this order. *Opposition*: after it the
kings stand in direct opposition. *Shuts*: it comes to guard squares next to the defending king that were not shut and
hold no man of its own.
*Frees*: a man that alone guarded a square next to the defending king and in its wall does so no more, while the range
has not grown. *Guards*: it comes to guard a man of its own that nobody guarded, and that the other side attacks after
one of its replies. *Centre*: there is no cage, the
attacker has not two queens or rooks, which need no king, and it comes nearer to the centre from the outer two lines
round the board. *Stops*: the defender has one man beside the king,
a pawn, no man of the attacker stands on its way, and the step comes to guard squares of that way, the promotion square
among them, that were not shut.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask
from matebot.ideas.guards import tied_masks
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import (
    Men,
    after_move,
    from_edge,
    in_order,
    is_king_step,
    men_of,
    opposition,
    pawn_way,
    range_mask,
    shut_mask,
)
from matebot.records import dataclass

#: So many queens and rooks mate without their king.
_ENOUGH = 2


class Purpose(Enum):
    """What a king's step is good for."""

    OPPOSITION = "opposition"
    SHUTS = "shuts"
    FREES = "frees"
    GUARDS = "guards"
    CENTRE = "centre"
    STOPS = "stops"


@dataclass(frozen=True)
class KingNearer(Idea):
    """A step of the attacking king.

    Attributes
    ----------
    purposes : what it serves
    shut : squares next to the defending king that it shuts
    freed : men that it frees
    held : squares next to the defending king that these guarded alone and it guards now
    guarded : men of its own that it comes to guard, nobody guarded and a reply attacks
    stopped : squares on the way of the defender's pawn that it comes to guard
    """

    kind: ClassVar[str] = "king_nearer"
    purposes: tuple[Purpose, ...]
    shut: Squares
    freed: Squares
    held: Squares
    guarded: Squares
    stopped: Squares


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> KingNearer | None:
    """Return what a step of the attacking king is good for, None for another move or without a purpose."""
    if before.turn != attacker or not is_king_step(before, move):
        return None
    old, new = men_of(before), men_of(after)
    near = chess.BB_KING_ATTACKS[new.king(not attacker)]
    reach = chess.BB_KING_ATTACKS[move.to_square]
    comes = reach & ~shut_mask(old, attacker)  # what nobody guarded
    shut = near & comes & ~new.of(attacker)
    freed = _freed(old, new, attacker, near) if range_mask(new, attacker).bit_count() <= _size(old, attacker) else ()
    guarded = new.of(attacker) & ~new.kings & comes
    guarded = guarded and guarded & _attacked_next(after, attacker)
    stopped = _pawns_way(new, not attacker) & comes
    serves = (
        (Purpose.OPPOSITION, opposition(new) == "direct"),
        (Purpose.SHUTS, shut),
        (Purpose.FREES, freed),
        (Purpose.GUARDS, guarded),
        (Purpose.CENTRE, _to_centre(move, new, attacker)),
        (Purpose.STOPS, stopped),
    )
    purposes = tuple(purpose for purpose, served in serves if served)
    if not purposes:
        return None
    held = sum(alone for man, alone in tied_masks(old, attacker) if man in freed) & near & reach
    return KingNearer(purposes, in_order(shut), freed, in_order(held), in_order(guarded), in_order(stopped))


def _to_centre(step: chess.Move, men: Men, attacker: chess.Color) -> bool:
    """Whether a step leads from the outer lines towards the centre, where the king is needed and there is no cage."""
    start = from_edge(step.from_square)
    return (
        start <= 1
        and from_edge(step.to_square) > start
        and ((men.queens | men.rooks) & men.of(attacker)).bit_count() < _ENOUGH
        and not cage_mask(men, attacker)
    )


def _attacked_next(board: chess.Board, attacker: chess.Color) -> int:
    """Return what the defender, who is to move, attacks after one reply or another, as bits."""
    found = 0
    for reply in board.legal_moves:
        there = after_move(board, reply)
        for man in chess.scan_forward(there.occupied_co[not attacker]):
            found |= there.attacks_mask(man)
    return found


def _pawns_way(men: Men, defender: chess.Color) -> int:
    """Return the squares from the defender's only man, where it is a pawn, to promotion; none where one blocks it."""
    theirs = men.of(defender) & ~men.kings
    if theirs.bit_count() != 1 or not theirs & men.pawns:
        return 0
    way = pawn_way(theirs.bit_length() - 1, defender)
    return 0 if way & men.of(not defender) else way


def _size(men: Men, attacker: chess.Color) -> int:
    return range_mask(men, attacker).bit_count()


def _freed(old: Men, new: Men, attacker: chess.Color, near: int) -> Squares:
    """Men other than the king that alone guarded a square of the wall next to the defending king and do so no more."""
    held = {man: alone & near for man, alone in tied_masks(new, attacker)}
    return tuple(man for man, alone in tied_masks(old, attacker) if man in held and alone & near and not held[man])
