"""A step that ends the checks.

Definition. A check by a reply is *safe* where a queen or rook gives it and no legal move takes it. The attacker's
king steps out of a check and takes nothing; the other side has no safe check then, but would have one after another
legal step of that king. Of those other steps, and of the safe checks after it, the first by its name in long algebraic
form is told.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, gives_check, is_king_step
from matebot.records import dataclass


@dataclass(frozen=True)
class EndsChecks(Idea):
    """A step of the attacking king after which no safe check comes.

    Attributes
    ----------
    elsewhere, check : another step, and the check that it would let in
    """

    kind: ClassVar[str] = "ends_checks"
    elsewhere: chess.Move
    check: chess.Move


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> EndsChecks | None:
    """Return that a step of the attacker's king ends the checks, None for another move."""
    if before.turn != attacker or not before.is_check() or not is_king_step(before, move) or before.is_capture(move):
        return None
    if _safe_check(after) is not None:
        return None
    steps = [other for other in before.legal_moves if is_king_step(before, other) and other != move]
    for other in sorted(steps, key=lambda step: step.uci()):
        check = _safe_check(after_move(before, other))
        if check is not None:
            return EndsChecks(other, check)
    return None


def _safe_check(board: chess.Board) -> chess.Move | None:
    """Return the first check after which no man that gives it can be taken, None without one."""
    checks = sorted((reply for reply in board.legal_moves if gives_check(board, reply)), key=lambda reply: reply.uci())
    for check in checks:
        there = after_move(board, check)
        givers = there.checkers_mask() & (there.queens | there.rooks)
        if givers and not any(givers >> answer.to_square & 1 for answer in there.generate_legal_captures()):
            return check
    return None
