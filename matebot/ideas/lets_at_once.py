"""What a shorter defence lets the attacker do at once.

Definition. A defence that lasts as long as any, while others last less long. Of the best of these the first by its name
in long algebraic form; what its answer, as in `denies`, does, as in `prepares`, where none of the attacker's
moves that mate soonest after the defence, or after another that lasts as long, does that or is that move, nor does that
move where it is slower.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import critical
from matebot.ideas.idea import Idea
from matebot.ideas.prepares import Next, deed
from matebot.ideas.shorter import as_long, best_reply, soonest
from matebot.ideas.squares import after_move, taken_by
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class LetsAtOnce(Idea):
    """The next best defence lets something in.

    Attributes
    ----------
    other, answer : the next best defence, and what is played against it
    does : what that does
    man : kind of the man it captures or makes, None without
    """

    kind: ClassVar[str] = "lets_at_once"
    other: chess.Move
    answer: chess.Move
    does: Next
    man: chess.PieceType | None


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> LetsAtOnce | None:
    """Return what the next best defence lets the attacker do at once, None where nothing of its own."""
    found = critical.seen(before, move, after, attacker, truth)
    if found is None:
        return None
    there = after_move(before, found.next_best)
    answer = best_reply(there, truth)
    does = None if answer is None else deed(there, answer, attacker)
    if answer is None or does is None:
        return None
    for board in (after, *(board for _, board in as_long(before, move, truth))):
        if board.is_legal(answer) and deed(board, answer, attacker) is does:
            return None
        quick = soonest(board, truth)
        if answer in quick or any(deed(board, reply, attacker) is does for reply in quick):
            return None
    victim = taken_by(there, answer)
    return LetsAtOnce(found.next_best, answer, does, answer.promotion or victim)
