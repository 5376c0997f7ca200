"""Whether the value of a position agrees with the values of the positions one legal move later.

When it does for every position of an ending, all its values are right: mates and stalemates are python-chess's,
and from those every win and loss follows by the number of its plies.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, Protocol

import chess


class Worth(Protocol):
    """What is judged: see the attributes of `Expected`."""

    @property
    def outcome(self) -> int: ...
    @property
    def dtm_plies(self) -> int | None: ...
    @property
    def dtz_plies(self) -> int | None: ...


class Expected(NamedTuple):
    """The value of a position without clock and history.

    Attributes
    ----------
    outcome : 1 the side to move wins, 0 drawn, -1 it loses
    dtm_plies : plies to mate with best play, None when drawn
    dtz_plies : plies to the next capture, pawn move or mate while the win is kept under the fifty-move rule, 101 where
        it cannot be, None when drawn
    """

    outcome: int
    dtm_plies: int | None
    dtz_plies: int | None


DRAWN = Expected(0, None, None)
MATED = Expected(-1, 0, 0)


def disagreement(board: chess.Board, value_of: Callable[[chess.Board], Worth]) -> str | None:
    """Return how the value of a position disagrees with its successors' values, or None when it agrees.

    Parameters
    ----------
    board : the position; moves are made on it and taken back
    value_of : gives the values under test, of the position and of the positions one move later
    """
    claimed = value_of(board)
    try:
        expected = expected_value(board, value_of)
    except Contradiction as contradiction:
        return f"{board.fen()}: {contradiction}"
    if (claimed.outcome, claimed.dtm_plies, claimed.dtz_plies) == expected:
        return None
    return f"{board.fen()}: expected {expected}, got {claimed!r}"


class Contradiction(Exception):
    """A successor's value that no position can have."""


def expected_value(board: chess.Board, value_of: Callable[[chess.Board], Worth]) -> Expected:
    """Return the value that follows from the rules and from the values of the successors."""
    moves = list(board.legal_moves)
    if not moves:
        return MATED if board.is_check() else DRAWN
    if board.is_insufficient_material():
        return DRAWN
    lost: list[tuple[int, int]] = []
    won: list[tuple[int, int]] = []
    drawn = False
    for move in moves:
        zeroing = board.is_zeroing(move)
        board.push(move)
        child = value_of(board)
        board.pop()
        if child.outcome == 0:
            drawn = True
            continue
        if child.dtm_plies is None or child.dtz_plies is None:
            raise Contradiction(f"after {move.uci()} a decided position without distances: {child!r}")
        in_time = child.dtz_plies <= 100  # FIDE Laws of Chess, article 9.3
        leg = 1 if child.dtm_plies == 0 or (zeroing and in_time) else min(1 + child.dtz_plies, 101)
        (lost if child.outcome < 0 else won).append((1 + child.dtm_plies, leg))
    if lost:
        return Expected(1, min(dtm for dtm, _ in lost), min(dtz for _, dtz in lost))
    if drawn:
        return DRAWN
    return Expected(-1, max(dtm for dtm, _ in won), max(dtz for _, dtz in won))
