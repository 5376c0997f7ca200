"""The knight's W.

Definition. The attacker has a bishop and a knight only. A route belongs to a corner of the bishop's colour and one of
the two edges that meet there; squares are counted along the edge and away from it, the corner being (0, 0). The route
is (5, 1) (4, 3) (3, 1) (2, 3) (1, 1): for a8 and its rank f7, e5, d7, c5, b7.

*Ready*: knight on (5, 1), bishop on (7, 1), attacking king on (5, 2), defending king on the edge itself, at most 5 from
the corner. *Under way*: knight on one of the first four squares of the route, attacking king at most two king's steps
from it, defending king at most one from the edge and at most 5 from the corner along it; the first square counts only
when ready.

A move of the attacker makes it *ready*; is a *step*, 1 to 4, when the knight goes from one square of the route, under
way, to the next, the defending king being on the edge itself or, at step 2 only, one from it; *may stop* when the W was
under way, the move is no step and a cage is shut after it; and *leaves* the W when it was under way, no cage is shut
after, and the knight goes elsewhere, or bishop or king go when it was ready.
"""

from __future__ import annotations

from enum import Enum
from functools import lru_cache
from typing import ClassVar

import chess

from matebot.ideas.cage import cage_mask, forcing_mask
from matebot.ideas.idea import Idea, Squares
from matebot.ideas.squares import Men, bishop_and_knight, from_edge, in_order, king_steps, men_of
from matebot.records import dataclass

_ROUTE = ((5, 1), (4, 3), (3, 1), (2, 3), (1, 1))
_BISHOP, _KING = (7, 1), (5, 2)
_FARTHEST = 5


class WState(Enum):
    """What a move has to do with the W."""

    READY = "ready"
    STEP = "step"
    MAY_STOP = "may stop"
    LEAVES = "leaves"


@dataclass(frozen=True)
class KnightsW(Idea):
    """A move that belongs to the knight's W or leaves it.

    Attributes
    ----------
    state : what the move does
    step : the number of the step, 0 when it is none
    man : kind of the man that moved
    corner : the corner the route leads to
    route : the squares of the route, in its order
    """

    kind: ClassVar[str] = "knights_w"
    state: WState
    step: int
    man: chess.PieceType
    corner: chess.Square
    route: Squares


@dataclass(frozen=True)
class Way:
    """One route to one corner: its squares, and where bishop and king stand when it is ready."""

    corner: chess.Square
    by_rank: bool
    route: Squares
    bishop: chess.Square
    king: chess.Square

    def along(self, square: chess.Square) -> int:
        """Return how far a square is from the corner along the edge."""
        line = chess.square_file if self.by_rank else chess.square_rank
        return abs(line(square) - line(self.corner))

    def away(self, square: chess.Square) -> int:
        """Return how far a square is from the edge."""
        line = chess.square_rank if self.by_rank else chess.square_file
        return abs(line(square) - line(self.corner))


@lru_cache(maxsize=8)
def way(corner: chess.Square, by_rank: bool) -> Way:
    """Return the way to a corner along its rank or its file."""

    def place(along: int, away: int) -> chess.Square:
        files, ranks = (along, away) if by_rank else (away, along)
        file, rank = chess.square_file(corner), chess.square_rank(corner)
        return chess.square(abs(file - files), abs(rank - ranks))

    return Way(corner, by_rank, tuple(place(*at) for at in _ROUTE), place(*_BISHOP), place(*_KING))


def ways(men: Men, attacker: chess.Color) -> tuple[Way, ...]:
    """Return the ways to the corners of the bishop's colour, none unless the attacker has bishop and knight only."""
    return () if bishop_and_knight(men, attacker) is None else _ways(forcing_mask(men, attacker))


@lru_cache(maxsize=2)
def _ways(corners: int) -> tuple[Way, ...]:
    return tuple(way(corner, by_rank) for corner in in_order(corners) for by_rank in (True, False))


def is_ready(men: Men, attacker: chess.Color, by: Way) -> bool:
    """Whether the W stands ready on a way."""
    king = men.king(not attacker)
    return (
        bishop_and_knight(men, attacker) == (by.bishop, by.route[0])
        and men.king(attacker) == by.king
        and by.away(king) == 0
        and by.along(king) <= _FARTHEST
    )


def progress(men: Men, attacker: chess.Color, by: Way) -> int | None:
    """Return the index of the knight's square on a way where the W is under way, None where it is not."""
    pair, king = bishop_and_knight(men, attacker), men.king(not attacker)
    if pair is None or pair[1] not in by.route[:-1] or by.away(king) > 1 or by.along(king) > _FARTHEST:
        return None
    if king_steps(men.king(attacker), pair[1]) > 2:
        return None
    index = by.route.index(pair[1])
    return index if index or is_ready(men, attacker, by) else None


def seen(before: chess.Board, move: chess.Move, after: chess.Board, attacker: chess.Color) -> KnightsW | None:
    """Return what a move of the attacker has to do with the W; with several ways the first that has a say."""
    if before.turn != attacker:
        return None
    old = men_of(before)
    if not old.knights or from_edge(old.king(not attacker)) > 1:
        return None  # as on most boards: the W is of a king on the edge, or one step from it
    new = men_of(after)
    man = before.piece_type_at(move.from_square) or chess.PAWN
    knights = old.knights | new.knights
    found = [
        KnightsW(*said, man, by.corner, by.route)
        for by in ways(old, attacker)
        if knights & _posts(by.route) and (said := _state(old, new, move, man, attacker, by)) is not None
    ]
    return min(found, key=lambda idea: list(WState).index(idea.state), default=None)


@lru_cache(maxsize=8)
def _posts(route: Squares) -> int:
    """Return the squares of a route on which the knight stands before its last step, as bits."""
    return sum(chess.BB_SQUARES[square] for square in route[:-1])


def _state(
    old: Men, new: Men, move: chess.Move, man: chess.PieceType, attacker: chess.Color, by: Way
) -> tuple[WState, int] | None:
    if is_ready(new, attacker, by):
        return WState.READY, 0
    at = progress(old, attacker, by)
    if at is None:
        return None
    if man == chess.KNIGHT and move.to_square == by.route[at + 1] and (at == 1 or by.away(old.king(not attacker)) == 0):
        return WState.STEP, at + 1
    if cage_mask(new, attacker):
        return WState.MAY_STOP, 0
    if man == chess.KNIGHT or at == 0:
        return WState.LEAVES, 0
    return None
