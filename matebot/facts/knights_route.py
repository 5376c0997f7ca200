"""The knight's route along an edge to the right corner, the W, with bishop and knight."""

from __future__ import annotations

from itertools import pairwise

import chess

from matebot.facts.board import king_square, men
from matebot.facts.played import Played
from matebot.method.squares import right_corners
from matebot.records import dataclass

#: As (steps from the corner along the edge, steps from the edge); for a8 and its rank: f7, e5, d7, c5, b7 (common
#: practice, no source).
_W_ROUTE = ((5, 1), (4, 3), (3, 1), (2, 3), (1, 1))


@dataclass(frozen=True, slots=True)
class KnightsRoute:
    """A step of the knight on its route, while the defending king stands on the two lines next to the route's edge.

    Attributes
    ----------
    w_step : which step of the route the move is, 1 to 4; None where it is none
    w_route : the squares of the route
    """

    w_step: int | None = None
    w_route: tuple[str, ...] = ()

    @classmethod
    def of(cls, played: Played) -> KnightsRoute:
        """Return the step a move of the attacker's knight is."""
        board, attacker = played.before, played.before.turn
        bishops = men(board, chess.BISHOP, attacker)
        one_each = len(bishops) == len(men(board, chess.KNIGHT, attacker)) == 1
        if not (played.by_attacker and one_each and played.piece == chess.KNIGHT):
            return cls()
        king = king_square(board, not attacker)
        for corner in right_corners(bishops[0]):
            for by_rank, line in ((True, chess.square_rank), (False, chess.square_file)):
                if abs(line(king) - line(corner)) > 1:
                    continue
                route = _route(corner, by_rank)
                for number, step in enumerate(pairwise(route), start=1):
                    if (played.move.from_square, played.move.to_square) == step:
                        return cls(number, tuple(map(chess.square_name, route)))
        return cls()


def _route(corner: chess.Square, by_rank: bool) -> tuple[chess.Square, ...]:
    """Return the route to a corner along its rank or its file."""

    def place(along: int, depth: int) -> chess.Square:
        files, ranks = (along, depth) if by_rank else (depth, along)
        file = files if chess.square_file(corner) == 0 else 7 - files
        rank = ranks if chess.square_rank(corner) == 0 else 7 - ranks
        return chess.square(file, rank)

    return tuple(place(along, depth) for along, depth in _W_ROUTE)
