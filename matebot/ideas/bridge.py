"""Conditions about the attacker's rook and pawn against a rook: the king before the pawn, its way out, the bridge.

Definition. Ranks are counted from the attacker's side. The king is *at the promotion square* of its pawn when it stands
on it or next to it. The defending king is *cut off by a file* when the rook's file lies between it and the pawn. The
rook is *ready* on its fourth or fifth rank, and *helps* there or on the last rank. The king is *out* when it has left
the promotion square, stands at most two files from the pawn and, unless the rook is on the last rank, on a rank above
the rook's; it is *down* when it stands at most two files from the pawn on its
fifth or sixth rank. The rook *bridges* when it cuts the other king off, or stands on the pawn's file, or on its king's
file below it.
"""

from __future__ import annotations

import chess

from matebot.ideas.own_pawn import pawn_of, turned
from matebot.ideas.squares import Men, king_steps

_READY, _DOWN, _LAST = (3, 4), (4, 5), 7
_FILES_FROM_PAWN = 2


def _rook_of(men: Men, attacker: chess.Color) -> chess.Square | None:
    own = men.rooks & men.of(attacker)
    return turned(own.bit_length() - 1, attacker) if own.bit_count() == 1 else None


def _promotion(pawn: chess.Square) -> chess.Square:
    return chess.square(chess.square_file(pawn), 7)


def king_at_promotion(men: Men, attacker: chess.Color) -> bool:
    """Whether the king is at the promotion square of its pawn."""
    pawn = pawn_of(men, attacker)
    return pawn is not None and king_steps(turned(men.king(attacker), attacker), _promotion(pawn)) <= 1


def cut_by_file(men: Men, attacker: chess.Color) -> bool:
    """Whether the defending king is cut off by a file."""
    pawn, rook = pawn_of(men, attacker), _rook_of(men, attacker)
    if pawn is None or rook is None:
        return False
    ends = sorted(map(chess.square_file, (pawn, men.king(not attacker))))
    return ends[0] < chess.square_file(rook) < ends[1]


def rook_ready(men: Men, attacker: chess.Color) -> bool:
    """Whether the rook is ready."""
    rook = _rook_of(men, attacker)
    return rook is not None and chess.square_rank(rook) in _READY


def rook_helps(men: Men, attacker: chess.Color) -> bool:
    """Whether the rook helps."""
    rook = _rook_of(men, attacker)
    return rook is not None and chess.square_rank(rook) in (*_READY, _LAST)


def _near(men: Men, attacker: chess.Color) -> bool:
    pawn, king = pawn_of(men, attacker), men.king(attacker)
    return pawn is not None and abs(chess.square_file(pawn) - chess.square_file(king)) <= _FILES_FROM_PAWN


def king_out(men: Men, attacker: chess.Color) -> bool:
    """Whether the king is out."""
    pawn, rook = pawn_of(men, attacker), _rook_of(men, attacker)
    if pawn is None or rook is None or not _near(men, attacker):
        return False
    king, row = turned(men.king(attacker), attacker), chess.square_rank(rook)
    return king != _promotion(pawn) and (row == _LAST or chess.square_rank(king) > row)


def king_down(men: Men, attacker: chess.Color) -> bool:
    """Whether the king is down."""
    return _near(men, attacker) and chess.square_rank(turned(men.king(attacker), attacker)) in _DOWN


def bridges(men: Men, attacker: chess.Color) -> bool:
    """Whether the rook bridges."""
    return cut_by_file(men, attacker) or bridge_built(men, attacker)


def bridge_built(men: Men, attacker: chess.Color) -> bool:
    """Whether the rook stands on the pawn's file, or on its king's file below it."""
    pawn, rook = pawn_of(men, attacker), _rook_of(men, attacker)
    if pawn is None or rook is None:
        return False
    king, file = turned(men.king(attacker), attacker), chess.square_file(rook)
    return file == chess.square_file(pawn) or (file == chess.square_file(king) and rook < king)
