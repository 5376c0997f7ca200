"""The key squares of a lone pawn, and the attacking king's way to them."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, lone_pawn, names
from matebot.facts.played import Played
from matebot.ideas.squares import king_steps
from matebot.method.squares import key_squares
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class PawnKeys:
    """The key squares of the attacker's lone pawn.

    Attributes
    ----------
    on_key_square, key_squares : whether the attacking king stands on one after the move; all of them
    key_steps_before, key_steps_after : its steps to the nearest; None without a lone pawn
    """

    on_key_square: bool
    key_squares: tuple[str, ...]
    key_steps_before: int | None
    key_steps_after: int | None

    @classmethod
    def of(cls, played: Played) -> PawnKeys:
        """Return the key squares after a move."""
        before, after = _steps(played.before, played.attacker), _steps(played.after, played.attacker)
        steps = min(after.values(), default=None)
        return cls(steps == 0, names(after), min(before.values(), default=None), steps)


def _steps(board: chess.Board, attacker: chess.Color | None) -> dict[chess.Square, int]:
    """Return the attacking king's steps to each key square; empty without a lone pawn."""
    pawn = None if attacker is None else lone_pawn(board, attacker)
    if pawn is None or attacker is None:
        return {}
    king, turn = king_square(board, attacker), 0 if attacker == chess.WHITE else 56
    return {square ^ turn: king_steps(king, square ^ turn) for square in key_squares(pawn ^ turn)}
