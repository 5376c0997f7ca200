"""What a lost defence ends in.

Definition. After it the move that is taught, the reply that lasts longest (of several no pawn that becomes less than a
queen, then the first by its name in long algebraic form), and so on, until the attacker mates, promotes or captures: by
his third move at the latest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.prepares import Next
from matebot.ideas.quick_board import quick
from matebot.ideas.squares import after_move, taken_by
from matebot.ideas.truth import Truth, only_mate_is_far

_MOST = 3
_WHOLE = (None, chess.QUEEN)


@dataclass(frozen=True)
class EndsIn(Idea):
    """Where it ends.

    Attributes
    ----------
    line : the moves, the attacker's first and last
    does : what the last one does
    man : kind of the man it captures or makes, None without
    """

    kind: ClassVar[str] = "ends_in"
    line: tuple[chess.Move, ...]
    does: Next
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> EndsIn | None:
    """Return what a lost defence leads to, None where nothing is won so soon."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    if only_mate_is_far(after, attacker, truth, 2 * _MOST - 1):
        return None
    board, line = quick(after), list[chess.Move]()
    for _ in range(_MOST):
        answer = truth.answer(board)
        if answer is None:
            return None
        victim = taken_by(board, answer)
        line.append(answer)
        board.push(answer)
        if board.is_checkmate():
            return EndsIn(tuple(line), Next.MATE, None)
        if answer.promotion or victim:
            does = Next.PROMOTION if answer.promotion else Next.CAPTURE
            return EndsIn(tuple(line), does, answer.promotion or victim)
        lasts = {reply: plies or 0 for reply, (_, plies) in truth.after(board).items()}
        line.append(min(lasts, key=lambda reply: (-lasts[reply], reply.promotion not in _WHOLE, reply.uci())))
        board.push(line[-1])
    return None


def promotes_in(board: chess.Board, truth: Truth, plies: int) -> int | None:
    """Return after how many plies at most, the attacker to move, his pawn promotes; None where it mates before."""
    board = quick(board)
    for number in range(1, plies + 1, 2):
        answer = truth.answer(board)
        if answer is None or answer.promotion:
            return number if answer is not None else None
        board.push(answer)
        lasts = {reply: worth.mate_plies or 0 for reply, worth in truth.after(board).items()}
        if not lasts:
            return None
        board.push(min(lasts, key=lambda reply: (-lasts[reply], reply.uci())))
    return None


def is_forced(board: chess.Board, does: Next, truth: Truth, plies: int) -> bool:
    """Whether the moves that are taught capture, or promote, in so many plies or mate, whatever the replies."""
    answer = truth.answer(board)
    if answer is None:
        return False
    if board.is_capture(answer) if does is Next.CAPTURE else answer.promotion:
        return True
    there = after_move(board, answer)
    replies = list(there.legal_moves)
    if not replies or plies <= 1:
        return there.is_checkmate()
    return all(is_forced(after_move(there, reply), does, truth, plies - 2) for reply in replies)
