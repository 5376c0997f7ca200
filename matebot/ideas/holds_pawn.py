"""Holding the pawn.

Definition. The attacker has one queen or rook only, the defender one pawn only. A move of the attacker, no capture,
that does the first of these: it *forces* the king in front of the pawn (check; the step to the square before the pawn,
see `their_man`, is legal, and after every other legal reply a legal move captures the pawn and no legal move captures
in turn); the piece *blocks* the pawn on the square before it; it *pins* it (no check; with the pawn lifted off the
board the king, which is not on its file, is attacked, as it was not before); or it is a step of the king nearer
(king's steps) to the promotion square while the other king stands on the square before its pawn (*free step*).
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, is_king_step, king_steps, lone_heavy, men_of
from matebot.ideas.their_man import before_pawn, defender_before_pawn, lifted_attacks, promotion_of, their_pawn
from matebot.records import dataclass


class Hold(Enum):
    """How a move uses that the pawn is held."""

    FORCES = "forces"
    BLOCKS = "blocks"
    PINS = "pins"
    FREE_STEP = "free step"


@dataclass(frozen=True)
class HoldsPawn(Idea):
    """A move that holds the defender's pawn.

    Attributes
    ----------
    how : in which way
    pawn : its square
    """

    kind: ClassVar[str] = "holds_pawn"
    how: Hold
    pawn: chess.Square


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> HoldsPawn | None:
    """Return how a move of the attacker holds the pawn, None where it does not so."""
    men = men_of(after)
    pawn, piece = their_pawn(men, attacker), lone_heavy(men, attacker)
    if before.turn != attacker or before.is_capture(move) or pawn is None or piece is None:
        return None
    if is_king_step(before, move):
        goal = promotion_of(pawn, attacker)
        nearer = king_steps(move.to_square, goal) < king_steps(move.from_square, goal)
        return HoldsPawn(Hold.FREE_STEP, pawn) if nearer and defender_before_pawn(men, attacker) else None
    if after.is_check():
        return HoldsPawn(Hold.FORCES, pawn) if _forces(after, pawn, attacker) else None
    if piece == before_pawn(pawn, attacker):
        return HoldsPawn(Hold.BLOCKS, pawn)
    king = men.king(not attacker)
    lines = (lifted_attacks(every, attacker, pawn) & chess.BB_SQUARES[king] for every in (men_of(before), men))
    old, new = map(bool, lines)
    return HoldsPawn(Hold.PINS, pawn) if new > old and chess.square_file(king) != chess.square_file(pawn) else None


def _forces(after: chess.Board, pawn: chess.Square, attacker: chess.Color) -> bool:
    front, in_front = before_pawn(pawn, attacker), False
    for reply in after.legal_moves:
        if reply.to_square == front and after.kings & chess.BB_SQUARES[reply.from_square]:
            in_front = True
        elif reply.from_square == pawn or not _falls(after, reply, pawn):
            return False
    return in_front


def _falls(after: chess.Board, reply: chess.Move, pawn: chess.Square) -> bool:
    """Whether a pawn can be taken for nothing after a reply."""
    replied = after_move(after, reply)
    for capture in list(replied.generate_legal_moves(to_mask=chess.BB_SQUARES[pawn])):
        taken = after_move(replied, capture)
        if not any(taken.generate_legal_moves(to_mask=chess.BB_SQUARES[pawn])):
            return True
    return False
