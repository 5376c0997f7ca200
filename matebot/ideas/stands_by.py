"""The defender and his own men.

Definition. A move of the defender, no capture; the first of these. *Saves*: his man, neither king nor what it becomes,
that the attacker attacked and he did not guard moves to a square that the attacker does not attack. *Runs*: his pawn
moves; squares from promotion are counted after it, on its file. *Guards*: his king comes to stand next to a man of his
that it was not next to and that no other man of his guards. *Nearer*: his king comes nearer (king's steps) to his only
man.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import in_order, is_king_step, king_steps
from matebot.records import dataclass


class Help(Enum):
    """What is done for a man."""

    SAVES = "saves"
    RUNS = "runs"
    GUARDS = "guards"
    NEARER = "nearer"


@dataclass(frozen=True)
class StandsBy(Idea):
    """The defender does something for a man of his.

    Attributes
    ----------
    help : what
    man, square : its kind and square after the move
    steps : squares a pawn that moved still has to promotion, otherwise the king's steps to the man
    """

    kind: ClassVar[str] = "stands_by"
    help: Help
    man: chess.PieceType
    square: chess.Square
    steps: int


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> StandsBy | None:
    """Return what a move of the defender does for a man of his, None where nothing."""
    if before.turn == attacker or before.is_capture(move):
        return None
    if not is_king_step(before, move):
        return _moved(before, move, after, attacker)
    own = in_order(after.occupied_co[not attacker] & ~after.kings)
    for square in own:
        near = king_steps(move.to_square, square) == 1 < king_steps(move.from_square, square)
        if near and after.attackers_mask(not attacker, square).bit_count() == 1:
            return StandsBy(Help.GUARDS, after.piece_type_at(square) or chess.PAWN, square, 1)
    if len(own) != 1 or king_steps(move.to_square, own[0]) >= king_steps(move.from_square, own[0]):
        return None
    return StandsBy(Help.NEARER, after.piece_type_at(own[0]) or chess.PAWN, own[0], king_steps(move.to_square, own[0]))


def _moved(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> StandsBy | None:
    kind, square = before.piece_type_at(move.from_square) or chess.PAWN, move.to_square
    rank = chess.square_rank(square)
    steps = (rank if attacker else 7 - rank) if kind == chess.PAWN else king_steps(_king(after, attacker), square)
    attacked = before.is_attacked_by(attacker, move.from_square)
    loose = attacked and not before.is_attacked_by(not attacker, move.from_square)
    if loose and not move.promotion and not after.is_attacked_by(attacker, square):
        return StandsBy(Help.SAVES, kind, square, steps)
    return StandsBy(Help.RUNS, kind, square, steps) if kind == chess.PAWN else None


def _king(board: chess.Board, attacker: chess.Color) -> chess.Square:
    return (board.kings & board.occupied_co[not attacker]).bit_length() - 1
