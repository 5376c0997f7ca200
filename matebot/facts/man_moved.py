"""The man that moves, and what it takes or becomes."""

from __future__ import annotations

import chess

from matebot.facts.played import Played
from matebot.ideas.squares import from_edge
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class ManMoved:
    """The man that moves.

    Attributes
    ----------
    piece : its kind
    captured, promoted : kinds of men ("knight"), None without
    victim_guarded : whether the captured man was guarded
    rim_before, rim_after : its steps from the edge of the board
    """

    piece: str
    captured: str | None
    promoted: str | None
    victim_guarded: bool
    rim_before: int
    rim_after: int

    @classmethod
    def of(cls, played: Played) -> ManMoved:
        """Return what a move does with its man."""
        move, after = played.move, played.after
        victim = victim_of(played.before, move)
        return cls(
            chess.piece_name(played.piece),
            None if victim is None else chess.piece_name(victim),
            None if move.promotion is None else chess.piece_name(move.promotion),
            victim is not None and after.is_attacked_by(after.turn, move.to_square),
            from_edge(move.from_square),
            from_edge(move.to_square),
        )


def victim_of(before: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """Return the kind of the man a move takes, None without."""
    return chess.PAWN if before.is_en_passant(move) else before.piece_type_at(move.to_square)
