"""What a shorter defence concedes.

Definition. A move of the defender that loses sooner than another (see `sooner`): the first thing of `denies` that its
answer does, as there, and that no legal move of the attacker after the other, better move does as well, nor after
others as good where `denies` asks that; an edge, a box or room where the same move does not mate soonest after one of
these too; a promotion with check where all that last no longer allow one.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas import sooner
from matebot.ideas.denies import Chances, Denied, is_as_quick, let_in
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.shorter import as_long, best_reply
from matebot.ideas.squares import after_move, gives_check
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class Concedes(Idea):
    """The move lets something in.

    Attributes
    ----------
    what, man, number, at_least, left : as in `Denies`
    answer : what is played against the move
    """

    kind: ClassVar[str] = "concedes"
    what: Denied
    answer: chess.Move
    man: chess.PieceType | None
    number: int
    at_least: int
    left: Squares = ()


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Concedes | None:
    """Return what a shorter defence lets in, None where nothing is seen or the move is no such defence."""
    shorter = sooner.seen(before, move, after, attacker, truth)
    answer = None if shorter is None else best_reply(after, truth)
    if shorter is None or answer is None:
        return None
    there = after_move(before, shorter.better)
    longest = [there, *(board for _, board in as_long(before, shorter.better, truth))]
    found = let_in(move, after, answer, Chances(longest, attacker))
    if found is None or is_as_quick(found, longest, truth):
        return None
    if found.what is Denied.PROMOTION and not _all_promote(before, move, truth):
        return None
    return Concedes(found.what, answer, found.man, found.number, found.at_least, found.left)


def _all_promote(before: chess.Board, move: chess.Move, truth: Truth) -> bool:
    """Whether after every move that lasts no longer a pawn promotes with check."""
    mine = truth.after(before)[move].mate_plies or 0
    for other, (_, plies) in truth.after(before).items():
        if plies is not None and plies <= mine:
            there = after_move(before, other)
            answer = truth.answer(there)
            if answer is None or not answer.promotion or not gives_check(there, answer):
                return False
    return True
