"""Rook and pawn against rook: the steps of the bridge.

Definition. The attacker has a rook and a pawn on the seventh rank, the defender a rook; squares are meant as in
`bridge`. The rook is *lifted* when it comes to its fourth or fifth rank from another, its king at the promotion square
and the other king cut off by a file before and after. The king *comes out* when it leaves the promotion square, the
rook ready and the other king cut off. It *comes down* when it leaves a check of the rook for a lower rank, out as in
`bridge`, the rook ready. The rook *builds* the bridge when it steps between its king and the rook that checks it, its
king beside it; it *backs* the pawn when it comes to the last rank from another, the king out and the other king cut
off, and guards the promotion square from there.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

import chess

from matebot.ideas.bridge import cut_by_file, king_at_promotion, king_out, rook_ready
from matebot.ideas.idea import Idea
from matebot.ideas.own_pawn import on_seventh, turned
from matebot.ideas.squares import king_steps, men_of
from matebot.records import dataclass


class Step(Enum):
    """A step of the bridge."""

    LIFTS = "lifts"
    COMES_OUT = "comes out"
    COMES_DOWN = "comes down"
    BUILDS = "builds"
    BACKS = "backs"


@dataclass(frozen=True)
class Bridging(Idea):
    """A move of the bridge.

    Attributes
    ----------
    step : which it is
    rook : where the attacker's rook stands after it
    """

    kind: ClassVar[str] = "bridging"
    step: Step
    rook: chess.Square


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> Bridging | None:
    """Return which step of the bridge a move of the attacker is, None where it is none."""
    if before.turn != attacker or not _is_rook_and_pawn_against_rook(before, attacker) or before.is_capture(move):
        return None
    was, now = men_of(before), men_of(after)
    rook = (now.rooks & now.of(attacker)).bit_length() - 1
    if rook < 0 or not on_seventh(now, attacker):
        return None
    ranks = [chess.square_rank(turned(square, attacker)) for square in (move.from_square, move.to_square)]
    if before.piece_type_at(move.from_square) == chess.KING:
        ready = rook_ready(now, attacker)
        on_promotion = ranks[0] == 7 and bool(chess.BB_FILES[chess.square_file(move.from_square)] & now.pawns)
        if ready and on_promotion and cut_by_file(now, attacker):
            return Bridging(Step.COMES_OUT, rook)
        if ready and before.is_check() and ranks[1] < ranks[0] and king_out(now, attacker):
            return Bridging(Step.COMES_DOWN, rook)
        return None
    if before.piece_type_at(move.from_square) != chess.ROOK:
        return None
    if before.is_check():
        return Bridging(Step.BUILDS, rook) if king_steps(rook, now.king(attacker)) == 1 else None
    guarded = bool(after.attacks_mask(rook) & _before(now.pawns & now.of(attacker), attacker))
    if ranks[1] == 7 != ranks[0] and cut_by_file(now, attacker) and king_out(now, attacker) and guarded:
        return Bridging(Step.BACKS, rook)
    at_home = king_at_promotion(was, attacker) and cut_by_file(was, attacker) and cut_by_file(now, attacker)
    return Bridging(Step.LIFTS, rook) if at_home and rook_ready(now, attacker) and ranks[0] != ranks[1] else None


def _before(pawn: int, attacker: chess.Color) -> int:
    return pawn << 8 if attacker == chess.WHITE else pawn >> 8


def _is_rook_and_pawn_against_rook(board: chess.Board, attacker: chess.Color) -> bool:
    def kinds(side: chess.Color) -> list[chess.PieceType]:
        return sorted(piece.piece_type for piece in board.piece_map().values() if piece.color == side)

    return (kinds(attacker), kinds(not attacker)) == ([chess.PAWN, chess.ROOK, chess.KING], [chess.ROOK, chess.KING])
