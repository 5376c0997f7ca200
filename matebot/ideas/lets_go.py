"""Man let go.

Definition. A winning move of the attacker that neither takes a man nor mates, after which one of his men hangs (see
`hanging`); of several the first by its square. The first capture of it by its name in long algebraic form, and the move
that is taught after it.
"""

from __future__ import annotations

from typing import ClassVar

import chess

from matebot.ideas.hanging import hanging
from matebot.ideas.idea import Idea
from matebot.ideas.squares import after_move, kind_of, men_of, takeable
from matebot.ideas.truth import Truth
from matebot.records import dataclass


@dataclass(frozen=True)
class LetsGo(Idea):
    """A man given, or left to be taken, since the rest wins.

    Attributes
    ----------
    square, man : where it stands, and its kind
    moved : whether it is the man that moved
    capture, answer : how it is taken, and what comes then
    """

    kind: ClassVar[str] = "lets_go"
    square: chess.Square
    man: chess.PieceType
    moved: bool
    capture: chess.Move
    answer: chess.Move


def seen(
    before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color, truth: Truth
) -> LetsGo | None:
    """Return the man that a winning move of the attacker lets go, None without one."""
    if before.turn != attacker or before.is_capture(move):
        return None
    lone = not after.occupied_co[not attacker] & ~after.kings
    if (lone and not takeable(men_of(after), attacker)) or truth.outcome(after) >= 0:
        return None
    found = hanging(after)
    if not found:
        return None
    square = found[0]
    capture = min(after.generate_legal_moves(chess.BB_ALL, chess.BB_SQUARES[square]), key=lambda taken: taken.uci())
    answer = truth.answer(after_move(after, capture))
    if answer is None:
        return None
    return LetsGo(square, kind_of(after, square), square == move.to_square, capture, answer)
