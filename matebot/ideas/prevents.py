"""What a longer defence prevents that a shorter one allows.

Definition. A move of the defender that loses sooner than another (see `sooner`), where none of the attacker's replies
that mate soonest after it does so after any of the moves that last longest. Told is the one that is taught, where it is
among them, else the first by its name in long algebraic form. The better move *prevents* them where each is then no
legal move or does not win, and *guards* the square of the one that is told where the man it moves could take there.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import sooner
from matebot.ideas.idea import Idea
from matebot.ideas.shorter import as_long, soonest
from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Prevents(Idea):
    """The best reply to a shorter defence is not the best to the better one.

    Attributes
    ----------
    better, reply : the better move, and the reply to this one
    prevented, guarded : whether the better move rules such replies out, and guards the square of this one
    """

    kind: ClassVar[str] = "prevents"
    better: chess.Move
    reply: chess.Move
    prevented: bool
    guarded: bool


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Prevents | None:
    """Return what reply a shorter defence allows, None where it is as good a reply to the better move."""
    shorter = sooner.seen(before, move, after, attacker, truth)
    if shorter is None:
        return None
    there = after_move(before, shorter.better)
    quick, taught = soonest(after, truth), truth.answer(after)
    longest = [there, *(board for _, board in as_long(before, shorter.better, truth))]
    if any(quick & soonest(board, truth) for board in longest):
        return None
    reply = taught if taught in quick else min(quick, key=chess.Move.uci)
    worth = truth.after(there)
    prevented = all(other not in worth or worth[other].outcome >= 0 for other in quick)
    guarded = bool(there.attacks_mask(shorter.better.to_square) >> reply.to_square & 1)
    return Prevents(shorter.better, reply, prevented, prevented and guarded)
