"""The threat that a drawing move meets.

Definition. A move of the defender, not in check, that keeps a draw; had he passed, the attacker would win. What the
move that is taught against a pass does, as in `refutation`; where that is neither mate, capture, promotion, fork nor
skewer, a *pin*: it comes to stand on a line with one of his men and behind it his king. None of these: nothing is seen.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import to_move
from matebot.ideas.refutation import Means, means_of
from matebot.ideas.squares import after_move, in_order
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_NAMED = (Means.MATE, Means.CAPTURE, Means.PROMOTION, Means.FORK, Means.SKEWER)


@dataclass(frozen=True)
class Meets(Idea):
    """A threat is met.

    Attributes
    ----------
    reply : what the attacker threatened to play
    means : what it does, None for a pin
    men : kinds of the men captured, made, forked, skewered or pinned
    still, guarded : whether the same capture is legal after the defence, and its square guarded then
    """

    kind: ClassVar[str] = "meets"
    reply: chess.Move
    means: Means | None
    men: tuple[chess.PieceType, ...]
    still: bool = False
    guarded: bool = False


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> Meets | None:
    """Return the threat that a drawing move of the defender meets, None without one that has a name."""
    if before.turn == attacker or before.is_check() or truth.outcome(before) or truth.outcome(after):
        return None
    passed = to_move(before, attacker)
    if truth.outcome(passed) <= 0:
        return None
    reply = truth.answer(passed)
    if reply is None:
        return None
    means, men, _ = means_of(passed, passed, reply, attacker)
    there = bool(after.occupied_co[not attacker] & chess.BB_SQUARES[reply.to_square])
    still, guarded = there and after.is_legal(reply), after.is_attacked_by(not attacker, reply.to_square)
    if means in _NAMED:
        return Meets(reply, means, men, still, guarded)
    held = pinned(passed, reply)
    return None if held is None else Meets(reply, None, (held,), still, guarded)


def pinned(board: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """Return the kind of the man that a legal move pins to its king, None without one."""
    after = after_move(board, move)
    near = after.attacks_mask(move.to_square) & after.occupied_co[after.turn] & ~after.kings
    for square in in_order(near):
        line = after.pin_mask(after.turn, square)
        if line != chess.BB_ALL and line & chess.BB_SQUARES[move.to_square]:
            return after.piece_type_at(square)
    return None
