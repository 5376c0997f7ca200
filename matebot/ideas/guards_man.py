"""A man guarded in time.

Definition. A move of the attacker, not his king's and no capture, after which it guards another of his men, not the
king, to which the defending king has at most two steps and which nobody guarded before the move.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.idea import Idea
from matebot.ideas.squares import guarding, in_order, is_king_step, kind_of, king_steps, men_of, shut_mask
from matebot.records import dataclass

_NEAR = 2


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
    men, king = men_of(after), men_of(after).king(not attacker)
    own = men.of(attacker) & ~men.kings & ~chess.BB_SQUARES[move.to_square]
    loose = own & dict(guarding(men, attacker))[move.to_square] & ~shut_mask(men_of(before), attacker)
    near = (square for square in in_order(loose) if king_steps(square, king) <= _NEAR)
    square = next(near, None)
    return None if square is None else GuardsMan(kind_of(after, square), square)
