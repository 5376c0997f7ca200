"""What the attacker does with the move after next.

Definition. A move of the defender, lost, after which the move that is taught does nothing that has a name (see
`prepares`); against it the reply that lasts longest (of several the first by its name in long algebraic form), and the
most telling thing that the move taught after that does.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.prepares import Next, deed
from matebot.ideas.squares import after_move, taken_by
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Looms(Idea):
    """What comes after the next move.

    Attributes
    ----------
    line : the attacker's move, the reply that lasts longest, the attacker's next
    does : what the last one does
    man : kind of the man it captures or makes, None without
    """

    kind: ClassVar[str] = "looms"
    line: tuple[chess.Move, ...]
    does: Next
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Looms | None:
    """Return what the attacker does with the move after next, None where it has no name or the next one has."""
    if before.turn == attacker or truth.outcome(after) <= 0:
        return None
    first = truth.answer(after)
    if first is None or deed(after, first, attacker) is not None:
        return None
    board = after_move(after, first)
    lasts = {reply: worth.mate_plies or 0 for reply, worth in truth.after(board).items()}
    if not lasts:
        return None
    reply = min(lasts, key=lambda move: (-lasts[move], move.uci()))
    board = after_move(board, reply)
    answer = truth.answer(board)
    does = None if answer is None else deed(board, answer, attacker)
    if answer is None or does is None:
        return None
    victim = taken_by(board, answer)
    return Looms((first, reply, answer), does, answer.promotion or victim)
