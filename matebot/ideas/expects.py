"""What the attacker does next.

Definition. A move of the defender, lost: the move that is taught against it, and the most telling thing that move does,
as in `prepares`; where it does none of these it must be a step of a pawn. A step of the king is *plain* where it leads
nearer to the other king, and no farther from it by files or by ranks. In place of one that is not, and does not close a
cage or take the opposition, the first plain one by its name is told that brings the king up and mates as soon. Of a
cage that is shut or made smaller the squares left to the king are told (see `king_range`), without one on which it is
in check.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.denies import squares_left
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.prepares import Next, deed
from matebot.ideas.shorter import soonest
from matebot.ideas.squares import after_move, closes_in, is_king_step, men_of, taken_by
from matebot.ideas.truth import Truth
from matebot.records import dataclass

#: What a step of the king may do that also brings it up.
_BY_KING = (Next.KING_UP, Next.CUTS_OFF, Next.SHRINKS, Next.BOX)


@dataclass(frozen=True)
class Expects(Idea):
    """What comes next.

    Attributes
    ----------
    reply, does : the attacker's move, and what it does; None for a step of a pawn
    man : kind of the man it captures or makes, None without
    left : the squares left to the king in a cage that is shut or made smaller
    """

    kind: ClassVar[str] = "expects"
    reply: chess.Move
    does: Next | None
    man: chess.PieceType | None
    left: Squares = ()


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Expects | None:
    """Return what the attacker does after a lost defence, None where it is nothing that has a name."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    reply = truth.answer(after)
    does = None if reply is None else deed(after, reply, attacker)
    if reply is None or (does is None and after.piece_type_at(reply.from_square) != chess.PAWN):
        return None
    if does in _BY_KING and (plain := _plain(after, reply, attacker, truth)) is not None:
        reply, does = plain, Next.KING_UP
    victim = taken_by(after, reply)
    left = squares_left(after_move(after, reply), attacker) if does in (Next.SHUTS, Next.TIGHTENS) else ()
    return Expects(reply, does, reply.promotion or victim, left)


def _plain(board: chess.Board, taught: chess.Move, attacker: chess.Color, truth: Truth) -> chess.Move | None:
    """Return a step of the king that plainly closes in and mates as soon as the one taught, where that one does not."""
    king = men_of(board).king(not attacker)
    if not is_king_step(board, taught) or closes_in(taught.from_square, taught.to_square, king):
        return None
    quick = soonest(board, truth)
    for move in sorted(quick if taught in quick else (), key=chess.Move.uci):
        plain = is_king_step(board, move) and closes_in(move.from_square, move.to_square, king)
        if plain and deed(board, move, attacker) is Next.KING_UP:
            return move
    return None
