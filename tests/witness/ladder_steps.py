"""Whether a position bears a ladder out, with python-chess's moves: the attacker can go on, no reply undoes it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import chess


class Place(NamedTuple):
    """Where the attacker wins: the men by name, the stage, the plies to mate by the method."""

    ending: str
    stage: int
    plies: int


def fault(board: chess.Board, attacker: chess.Color, place: Callable[[chess.Board], Place | None]) -> str:
    """Return what does not bear the ladder out in a position that the attacker wins; nothing where it does.

    Parameters
    ----------
    place : tells where a position stands, either side to move; None where the attacker does not win it
    """
    here = place(board)
    if here is None:
        return "not won"
    after = []
    for move in board.legal_moves:
        board.push(move)
        after.append((move.uci(), place(board)))
        board.pop()
    if board.turn != attacker:
        return _defended(board, here, after)
    forward = [there.plies for _, there in after if there is not None and not _back(here, there)]
    nearest = min(forward, default=None)
    return "" if nearest == here.plies - 1 else f"{here}: no way nearer than {nearest}"


def _defended(board: chess.Board, here: Place, after: list[tuple[str, Place | None]]) -> str:
    if not after:
        return "" if board.is_checkmate() and here.plies == 0 else f"{here}: no move, no mate"
    for move, there in after:
        if there is None or _back(here, there):
            return f"{here}: {move} leads back to {there}"
    longest = max(there.plies for _, there in after if there is not None)
    return "" if longest == here.plies - 1 else f"{here}: longest reply {longest}"


def _back(here: Place, there: Place) -> bool:
    return there.ending == here.ending and there.stage < here.stage
