"""Waiting move and zugzwang.

Definition. A move of the attacker, no capture, no check, no pawn's, after which the range of the king, who guards each
square of its wall (the man that moved counted as the same man) and the kind of opposition between the kings are as
before, and the defender, if it were his turn in the position before, would be lost as fast as after the move or faster
(he is in zugzwang: he would rather pass). A position before in which he would be stalemated does not count.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import chess

from matebot.ideas.guards import wall_mask
from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, guarding, men_of, opposition, range_mask
from matebot.ideas.truth import Truth


@dataclass(frozen=True)
class WaitingMove(Idea):
    """The attacker passes the move.

    Attributes
    ----------
    man : kind of the man that moved
    replies : legal replies of the defender
    mate_plies : plies to mate if it had been the defender's turn
    """

    kind: ClassVar[str] = "waiting_move"
    man: chess.PieceType
    replies: int
    mate_plies: int


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> WaitingMove | None:
    """Return whether a move of the attacker only passes the move; None otherwise."""
    if before.turn != attacker or before.is_zeroing(move) or after.is_check() or before.is_check():
        return None
    old, new = men_of(before), men_of(after)
    if range_mask(old, attacker) != range_mask(new, attacker) or opposition(old) != opposition(new):
        return None
    if _guards(old, attacker) != _guards(new, attacker, move):
        return None
    passed = before.copy(stack=False)
    passed.turn, passed.ep_square = not attacker, None
    mate, now = truth.mate_plies(passed), truth.mate_plies(after)
    if mate is None or now is None or not 0 < mate <= now or truth.outcome(passed) > 0:
        return None
    return WaitingMove(before.piece_type_at(move.from_square) or chess.PAWN, after.legal_moves.count(), mate)


def _guards(men: Men, attacker: chess.Color, back: chess.Move | None = None) -> dict[chess.Square, int]:
    """Return what each man guards of the wall; the man that made the move `back` by its old square."""
    wall = wall_mask(men, attacker)
    return {
        back.from_square if back is not None and man == back.to_square else man: over & wall
        for man, over in guarding(men, attacker)
    }
