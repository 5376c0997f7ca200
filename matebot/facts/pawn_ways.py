"""The ways of pawns to promotion: what holds up the defender's, and what the king guards on the way of one's own."""

from __future__ import annotations

import chess

from matebot.facts.board import king_square, names
from matebot.facts.played import Played
from matebot.ideas.squares import pawn_way
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class PawnWays:
    """The way of a pawn is every square before it on its file, the promotion square among them.

    Attributes
    ----------
    held_from : the attacker's men beside his king, after his move, that stand on the way of the defender's only man,
        a pawn, or guard a square of it that the pawn's king does not guard
    stopped_by : those of them that stand on the next square of that pawn, or guard it so
    way_guarded : squares on the way of the attacker's only pawn that a step of his king comes to guard
    """

    held_from: tuple[str, ...] = ()
    stopped_by: tuple[str, ...] = ()
    way_guarded: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> PawnWays:
        """Return what a move does about the ways of pawns."""
        attacker, after = played.attacker, played.after
        if attacker is None or not played.by_attacker:
            return cls()
        theirs = after.occupied_co[not attacker] & ~after.kings
        way, held, stopped = _way(after, not attacker, theirs), 0, 0
        free = way & ~chess.BB_KING_ATTACKS[king_square(after, not attacker)]
        for man in chess.scan_forward(after.occupied_co[attacker] & ~after.kings if way else 0):
            over = (way & chess.BB_SQUARES[man]) | (free & after.attacks_mask(man))
            held |= chess.BB_SQUARES[man] if over else 0
            stopped |= chess.BB_SQUARES[man] if over & _next(theirs, not attacker) else 0
        guarded = 0
        if played.piece == chess.KING:
            was, now = (chess.BB_KING_ATTACKS[king_square(board, attacker)] for board in (played.before, after))
            stood = chess.BB_SQUARES[played.move.from_square]
            guarded = _way(after, attacker, after.pawns & after.occupied_co[attacker]) & now & ~was & ~stood
        return cls(*(names(chess.scan_forward(found)) for found in (held, stopped, guarded)))


def _next(pawn: int, side: chess.Color) -> int:
    """Return the square before a pawn, as bits."""
    return pawn << 8 if side else pawn >> 8


def _way(board: chess.Board, side: chess.Color, man: int) -> int:
    """Return the way of a man, as bits, where it is the only one and a pawn; else none."""
    if man.bit_count() != 1 or not man & board.pawns:
        return 0
    return pawn_way(man.bit_length() - 1, side)
