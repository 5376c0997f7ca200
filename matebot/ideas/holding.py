"""A move that holds a draw beside the others: what is so after it and after a move that loses is no reason for it.

Definition. The other moves of the defender in a drawn position *hold* when they keep the draw, and *lose* otherwise.
The edge *decides* when his king stands so many steps from it, or more, after every other move that holds and after none
that loses. A reason for a draw is *shared* when it is seen on the board after a move that loses as well.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import chess

from matebot.ideas.squares import after_move, from_edge, men_of
from matebot.ideas.truth import Truth


class Holding:
    """A move that holds a draw beside the others; without a truth nothing decides and nothing is shared.

    Parameters
    ----------
    before, move : the board and the move
    attacker : the side that may win
    truth : knows what each move is worth, None where that is not known
    """

    def __init__(self, before: chess.Board, move: chess.Move, attacker: chess.Color, truth: Truth | None) -> None:
        self._before, self._move, self._attacker, self._truth = before, move, attacker, truth

    @cached_property
    def _others(self) -> list[tuple[bool, chess.Board]]:
        """Whether each other move holds, and the board after it."""
        if self._truth is None or self._before.turn == self._attacker:
            return []
        worth = self._truth.after(self._before).items()
        return [(item.outcome <= 0, after_move(self._before, move)) for move, item in worth if move != self._move]

    def edge_decides(self, steps: int) -> bool:
        """Whether the king stands so far from the edge after every other move that holds, and after none that loses."""
        found = ((holds, from_edge(men_of(there).king(not self._attacker))) for holds, there in self._others)
        return bool(self._others) and all(holds == (edge >= steps) for holds, edge in found)

    def is_shared(self, seen: Callable[[chess.Board, chess.Color], object | None]) -> bool:
        """Whether a reason for a draw is seen after a move that loses as well."""
        return any(not holds and seen(there, self._attacker) is not None for holds, there in self._others)
