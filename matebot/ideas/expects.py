"""What the attacker does next.

Definition. A move of the defender, lost: the move that is taught against it, and the most telling thing that move does,
as in `prepares`; where it does none of these it must be a step of a pawn. Where it brings the king up, and leads
farther from the other king by files or by ranks, it is another step that does not, if one brings it up and mates as
soon: of moves that mate soonest the first by its name. Of a cage that is shut or made smaller the squares left to the
king are told (see `king_range`), without one on which it is in check.
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
    if does is Next.KING_UP:
        reply = _visible(after, reply, attacker, truth)
    victim = taken_by(after, reply)
    left = squares_left(after_move(after, reply), attacker) if does in (Next.SHUTS, Next.TIGHTENS) else ()
    return Expects(reply, does, reply.promotion or victim, left)


def _visible(board: chess.Board, taught: chess.Move, attacker: chess.Color, truth: Truth) -> chess.Move:
    """Return a step of the king that plainly closes in and mates as soon as the one taught; that one without any."""
    king = men_of(board).king(not attacker)
    if not is_king_step(board, taught) or closes_in(taught.from_square, taught.to_square, king):
        return taught
    quick = soonest(board, truth)
    for move in sorted(quick if taught in quick else (), key=chess.Move.uci):
        plain = is_king_step(board, move) and closes_in(move.from_square, move.to_square, king)
        if plain and deed(board, move, attacker) is Next.KING_UP:
            return move
    return taught
