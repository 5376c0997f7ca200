"""Range of the king.

Definition. The attacker's men stand still. A square is shut to the defending king if a man or the king of the attacker
guards it, that is attacks it whatever stands on it; lines go through the defending king. An unguarded man is no wall:
its square is not shut. The range is every square that the defending king reaches by king's steps over squares that
are not shut, its own square included even if that is shut. The defender's men stop lines, but not their king: they may
step aside. Whose turn it is does not matter.
"""

from __future__ import annotations

import chess

from matebot.ideas.squares import men_of, range_mask


def king_range(board: chess.Board, attacker: chess.Color) -> chess.SquareSet:
    """Return the range of the defending king."""
    return chess.SquareSet(range_mask(men_of(board), attacker))
