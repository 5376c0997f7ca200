"""What some ideas must be told, since no board shows it: outcomes, distances to mate, and the move that is taught."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple, Protocol

import chess


class Worth(NamedTuple):
    """What a position is worth to the side to move; see `Truth`."""

    outcome: int
    mate_plies: int | None


class Truth(Protocol):
    """Knows the exact worth of positions; the clock and the history may be left out."""

    def outcome(self, board: chess.Board) -> int:
        """Return 1 where the side to move wins, 0 where it is drawn, -1 where it loses."""
        ...

    def mate_plies(self, board: chess.Board) -> int | None:
        """Return the plies to mate, None where it is drawn."""
        ...

    def after(self, board: chess.Board) -> Mapping[chess.Move, Worth]:
        """Return every legal move with what the position after it is worth."""
        ...

    def answer(self, board: chess.Board) -> chess.Move | None:
        """Return the move that is taught for the side to move, None where there is no move."""
        ...


def only_mate_is_far(board: chess.Board, attacker: chess.Color, truth: Truth, plies: int) -> bool:
    """Whether there is nothing to promote and nothing to take, and a won mate takes more than so many plies."""
    left = board.pawns & board.occupied_co[attacker] | board.occupied_co[not attacker] & ~board.kings
    return not left and (truth.mate_plies(board) or 0) > plies
