"""Waiting move and zugzwang.

Definition. A move of the attacker, no capture, no check, no pawn's, after which the defending king could go to the same
squares as before, its range is not larger, the kind of opposition between the kings is the same, and the defender, if
it were his turn in the position before, would be lost as fast as after the move or faster: the move only passes the
turn. And he would rather pass it back (zugzwang): if he could, mate would take more moves, or not be forced at all. A
position before in which he would be stalemated does not count, nor one with a pawn of the attacker's
and another man beside: there the pawn's way counts.

*Nothing changes* when the range is the same and each man guards the same squares of its wall as before (see `guards`).
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.guards import wall_mask
from matebot.ideas.idea import Idea
from matebot.ideas.quick_board import to_move
from matebot.ideas.squares import Men, guarding, men_of, opposition, range_mask, shut_mask
from matebot.ideas.truth import Truth
from matebot.records import dataclass

_PAWN_AND_KING = 2


@dataclass(frozen=True)
class WaitingMove(Idea):
    """The attacker passes the move.

    Attributes
    ----------
    man : kind of the man that moved
    replies : legal replies of the defender
    mate_plies : plies to mate if it had been the defender's turn
    nothing_changes : whether range and guards are the same too
    """

    kind: ClassVar[str] = "waiting_move"
    man: chess.PieceType
    replies: int
    mate_plies: int
    nothing_changes: bool


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> WaitingMove | None:
    """Return whether a move of the attacker only passes the move; None otherwise."""
    own = before.occupied_co[attacker]
    if before.pawns & own and own.bit_count() > _PAWN_AND_KING:
        return None
    if before.turn != attacker or before.is_zeroing(move) or after.is_check() or before.is_check():
        return None
    old, new = men_of(before), men_of(after)
    was, now = range_mask(old, attacker), range_mask(new, attacker)
    if now.bit_count() > was.bit_count() or opposition(old) != opposition(new):
        return None
    if _flights(old, attacker) != _flights(new, attacker):
        return None
    passed = to_move(before, not attacker)
    mate, promised = truth.mate_plies(passed), truth.mate_plies(after)
    if mate is None or promised is None or not 0 < mate <= promised or truth.outcome(passed) > 0:
        return None
    back = to_move(after, attacker)
    later = truth.mate_plies(back)
    if truth.outcome(back) > 0 and (later is None or later <= promised):
        return None
    same = was == now and _guards(old, attacker) == _guards(new, attacker, move)
    man = before.piece_type_at(move.from_square) or chess.PAWN
    return WaitingMove(man, after.legal_moves.count(), mate, same)


def _flights(men: Men, attacker: chess.Color) -> int:
    king = men.king(not attacker)
    return chess.BB_KING_ATTACKS[king] & ~men.of(not attacker) & ~shut_mask(men, attacker)


def _guards(men: Men, attacker: chess.Color, back: chess.Move | None = None) -> dict[chess.Square, int]:
    """Return what each man guards of the wall; the man that made the move `back` by its old square."""
    wall = wall_mask(men, attacker)
    return {
        back.from_square if back is not None and man == back.to_square else man: over & wall
        for man, over in guarding(men, attacker)
    }
