"""Stopping the pawn.

Definition. The attacker has bishop and knight only, or a queen or rook only against a pawn that is to promote with its
next move; the defender one pawn only. A move of the attacker, no capture; the
first of these. The man moved *blocks* the pawn: it comes to the square before it (see `their_man`). It *guards* that
square, which is empty and which no man of the attacker guarded before. It *backs* the bishop or knight on that square,
which no man of the attacker guarded before. Lines go through the defending king.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, bishop_and_knight, guarding, lone_heavy, men_of, shut_mask
from matebot.ideas.their_man import before_pawn, their_pawn
from matebot.records import dataclass


class Stop(Enum):
    """How a man stops the pawn."""

    BLOCKS = "blocks"
    GUARDS = "guards"
    BACKS = "backs"


@dataclass(frozen=True)
class StopsPawn(Idea):
    """A move that stops the defender's pawn.

    Attributes
    ----------
    how : in which way
    man : the kind of the man moved
    pawn, square : where the pawn stands, and the square before it
    """

    kind: ClassVar[str] = "stops_pawn"
    how: Stop
    man: chess.PieceType
    pawn: chess.Square
    square: chess.Square


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> StopsPawn | None:
    """Return how a move of the attacker stops the pawn, None where it does not."""
    men = men_of(after)
    pawn = their_pawn(men, attacker)
    if before.turn != attacker or before.is_capture(move) or pawn is None:
        return None
    square = before_pawn(pawn, attacker)
    heavy = lone_heavy(men, attacker) == move.to_square and chess.BB_SQUARES[square] & chess.BB_BACKRANKS
    if not heavy and bishop_and_knight(men, attacker) is None:
        return None
    how = _how(men_of(before), move, after, attacker, square)
    man = before.piece_type_at(move.from_square)
    return None if how is None or man is None else StopsPawn(how, man, pawn, square)


def _how(was: Men, move: chess.Move, after: chess.Board, attacker: chess.Color, square: chess.Square) -> Stop | None:
    if move.to_square == square:
        return Stop.BLOCKS
    bit, men = chess.BB_SQUARES[square], men_of(after)
    guards = any(man == move.to_square and reach & bit for man, reach in guarding(men, attacker))
    if not guards or shut_mask(was, attacker) & bit:
        return None
    if (men.bishops | men.knights) & bit:
        return Stop.BACKS
    return None if after.occupied & bit else Stop.GUARDS
