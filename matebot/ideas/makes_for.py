"""The king makes for a square.

Definition. A step of the defending king. The squares next to it after the step that were not next to it before and not
its own, hold no man and are not shut (see `king_range`), and that lead somewhere; the first of these with any counts.
*Man*: next to a man of the attacker, not his king, that nobody guards and that the king does not stand next to. Then
the ways of `shuts_way`, in their order: squares that lead there from where the king stood as from where it stands, if
no legal step of it led there at once.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea, Squares
from matebot.ideas.shuts_way import ways
from matebot.ideas.squares import in_order, is_king_step, men_of, shut_mask
from matebot.records import dataclass


class Goal(Enum):
    """Where the squares lead."""

    MAN = "man"
    OWN_MAN = "own man"
    PAWN = "pawn"
    WRONG_CORNER = "wrong corner"
    CENTRE = "centre"
    OUT_OF_CORNER = "out of the corner"


@dataclass(frozen=True)
class MakesFor(Idea):
    """The king comes next to squares that lead somewhere.

    Attributes
    ----------
    goal : where they lead
    squares : the squares
    target : the man or corner it is about, None for the centre
    man : kind of the man, None without
    """

    kind: ClassVar[str] = "makes_for"
    goal: Goal
    squares: Squares
    target: chess.Square | None
    man: chess.PieceType | None


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> MakesFor | None:
    """Return the squares a step of the defending king makes for, None where they lead nowhere."""
    if before.turn == attacker or not is_king_step(before, move):
        return None
    men = men_of(after)
    shut, near = shut_mask(men, attacker), chess.BB_KING_ATTACKS[move.to_square]
    known = chess.BB_KING_ATTACKS[move.from_square] | chess.BB_SQUARES[move.from_square]
    fresh = near & ~known & ~shut & ~(men.white | men.black)
    if not fresh:
        return None
    for man in in_order(men.of(attacker) & ~men.kings & ~shut & ~near):
        beside = fresh & chess.BB_KING_ATTACKS[man]
        if beside:
            return MakesFor(Goal.MAN, in_order(beside), man, after.piece_type_at(man))
    steps = [step.to_square for step in before.generate_legal_moves(before.kings)]
    from_here = {(aim, target): leads for aim, target, leads in ways(men_of(before), attacker)}
    for aim, target, leads in ways(men, attacker):
        before_it = from_here.get((aim, target))
        if before_it is None or any(map(before_it, steps)):
            continue
        squares = tuple(square for square in in_order(fresh) if leads(square) and before_it(square))
        if squares:
            return MakesFor(Goal(aim.value), squares, target, None if target is None else after.piece_type_at(target))
    return None
