"""A problem set in a draw.

Definition. A move of either side in a drawn position that keeps the draw; one to three replies hold it too, none of
them a capture, and more replies than these lose. Where one reply holds, by a man that is no king, and the side that
moved has but a pawn beside its king: the squares of the pawn's way on which that man then stands or which it guards, if
there were none before.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.drawn.board_features import lone
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import after_move, in_order, pawn_way
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_MOST_HOLDING = 3


@dataclass(frozen=True)
class SetsProblem(Idea):
    """Few replies hold.

    Attributes
    ----------
    holding : the replies that do, by their names in long algebraic form
    held : squares of the pawn's way that the only one guards, or stands on
    """

    kind: ClassVar[str] = "sets_problem"
    holding: tuple[chess.Move, ...]
    held: Squares


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> SetsProblem | None:
    """Return the replies to be found, None where there is no problem."""
    if truth.outcome(after) or truth.outcome(before):
        return None
    replies = truth.after(after)
    holding = sorted((reply for reply, worth in replies.items() if worth.outcome <= 0), key=lambda reply: reply.uci())
    if not 0 < len(holding) <= _MOST_HOLDING or len(replies) <= 2 * len(holding):
        return None
    if any(after.is_capture(reply) for reply in holding):
        return None
    return SetsProblem(tuple(holding), _held(after, holding[0]) if len(holding) == 1 else ())


def _held(board: chess.Board, reply: chess.Move) -> Squares:
    """Return the squares of a lone pawn's way that a man comes to guard or to stand on."""
    pawn = lone(board, not board.turn, chess.PAWN)
    if pawn is None or board.kings & chess.BB_SQUARES[reply.from_square]:
        return ()
    way, then = pawn_way(pawn, not board.turn), after_move(board, reply)
    was, now = (
        way & (there.attacks_mask(square) | chess.BB_SQUARES[square])
        for there, square in ((board, reply.from_square), (then, reply.to_square))
    )
    return () if was else in_order(now)
