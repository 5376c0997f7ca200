"""A man guarded in time.

Definition. A move of the attacker, not his king's and no capture, after which it guards another of his men, not the
king, that nobody guarded before the move, and that the defending king did not touch but could have stepped next to.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import guarding, in_order, is_king_step, kind_of, men_of, shut_mask
from matebot.records import dataclass


@dataclass(frozen=True)
class GuardsMan(Idea):
    """A man that the other king may come for, and that is guarded now.

    Attributes
    ----------
    man, square : its kind and where it stands; of several the first from a1 on
    """

    kind: ClassVar[str] = "guards_man"
    man: chess.PieceType
    square: chess.Square


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> GuardsMan | None:
    """Return the man that a move of the attacker guards in time, None without one."""
    if before.turn != attacker or is_king_step(before, move) or before.is_capture(move):
        return None
    men, closed = men_of(after), shut_mask(men_of(before), attacker)
    own = men.of(attacker) & ~men.kings & ~chess.BB_SQUARES[move.to_square]
    loose = own & dict(guarding(men, attacker))[move.to_square] & ~closed
    king = men_of(before).king(not attacker)
    steps = chess.BB_KING_ATTACKS[king] & ~closed & ~before.occupied_co[not attacker]
    far = loose & ~chess.BB_KING_ATTACKS[king]
    near = (square for square in in_order(far) if chess.BB_KING_ATTACKS[square] & steps)
    square = next(near, None)
    return None if square is None else GuardsMan(kind_of(after, square), square)
