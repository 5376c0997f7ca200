"""The reasons for a draw in the order in which they are asked for: what explains most comes first."""

from __future__ import annotations

from collections.abc import Callable

import chess

from matebot.ideas.drawn import (
    both_aims,
    equal_men,
    inside_the_square,
    king_before_pawn,
    knight_beside_king,
    knight_frozen,
    man_caught,
    man_falls,
    minor_holds_rook,
    minor_stops_pawn,
    pawn_on_the_seventh,
    pawn_supported,
    safe_corner,
    stalemated,
    too_few_men,
    wrong_rooks_pawn,
)

Reason = (
    stalemated.Stalemated
    | too_few_men.TooFewMen
    | equal_men.EqualMen
    | man_falls.ManFalls
    | man_caught.ManCaught
    | wrong_rooks_pawn.WrongRooksPawn
    | knight_frozen.KnightFrozen
    | pawn_on_the_seventh.PawnOnTheSeventh
    | king_before_pawn.KingBeforePawn
    | inside_the_square.InsideTheSquare
    | knight_beside_king.KnightBesideKing
    | safe_corner.SafeCorner
    | minor_holds_rook.MinorHoldsRook
    | both_aims.BothAims
    | pawn_supported.PawnSupported
    | minor_stops_pawn.MinorStopsPawn
)
Seen = Callable[[chess.Board, chess.Color], Reason | None]

BEFORE_A_CAPTURE: tuple[Seen, ...] = (stalemated.seen, too_few_men.seen)
REASONS: tuple[Seen, ...] = (
    wrong_rooks_pawn.seen,
    knight_frozen.seen,
    pawn_on_the_seventh.seen,
    king_before_pawn.seen,
    inside_the_square.seen,
    knight_beside_king.seen,
    safe_corner.seen,
    both_aims.seen,
    pawn_supported.seen,
    equal_men.seen,
)


def reason(board: chess.Board, attacker: chess.Color, is_drawn: Callable[[chess.Board], bool]) -> Reason | None:
    """Return why a drawn position is drawn; None where nothing that teachers name is seen.

    Parameters
    ----------
    attacker : the side with the stronger men; with equal men the side whose winning tries are looked at
    is_drawn : whether a covered position holds for the other side with best play: drawn, or even won
    """
    for seen in BEFORE_A_CAPTURE:
        if (found := seen(board, attacker)) is not None:
            return found
    falls = man_falls.seen(board, attacker, is_drawn)
    if falls is not None:
        return falls
    named = next((found for seen in REASONS if (found := seen(board, attacker)) is not None), None)
    if named is not None:
        return named
    looked_into = (minor_stops_pawn.seen, minor_holds_rook.seen, man_caught.seen)
    return next((found for seen in looked_into if (found := seen(board, attacker, is_drawn)) is not None), None)
