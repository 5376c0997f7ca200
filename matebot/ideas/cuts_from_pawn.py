"""The king cut off from the attacker's pawn.

Definition. The attacker has a queen or rook and one pawn beside his king, the defender a bare king. A move of the queen
or rook, no capture, after which its rank or file lies strictly between the defending king and the pawn (where both do,
the file counts), while before it neither did.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import Men, men_of
from matebot.records import dataclass


@dataclass(frozen=True)
class CutsFromPawn(Idea):
    """A line that parts the king from the pawn.

    Attributes
    ----------
    line : the line, such as "file e" or "rank 5"
    """

    kind: ClassVar[str] = "cuts_from_pawn"
    line: str


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> CutsFromPawn | None:
    """Return the line by which a move of the attacker parts the king from the pawn, None without one."""
    heavy = (before.queens | before.rooks) >> move.from_square & 1
    if before.turn != attacker or not heavy or before.is_capture(move):
        return None
    was, now = _line(men_of(before), attacker), _line(men_of(after), attacker)
    return CutsFromPawn(now) if now is not None and was is None else None


def _line(men: Men, attacker: chess.Color) -> str | None:
    own = men.of(attacker) & ~men.kings
    heavy, pawns = own & (men.queens | men.rooks), own & men.pawns
    if heavy.bit_count() != 1 or pawns.bit_count() != 1 or own != heavy | pawns or men.of(not attacker) & ~men.kings:
        return None
    piece, pawn, king = heavy.bit_length() - 1, pawns.bit_length() - 1, men.king(not attacker)
    for line, name in (
        (chess.square_file, f"file {chess.FILE_NAMES[chess.square_file(piece)]}"),
        (chess.square_rank, f"rank {chess.RANK_NAMES[chess.square_rank(piece)]}"),
    ):
        if min(line(pawn), line(king)) < line(piece) < max(line(pawn), line(king)):
            return name
    return None
