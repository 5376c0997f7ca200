"""The defences that last less long than another, or as long, and the best replies: those that mate soonest."""

from __future__ import annotations

from collections.abc import Callable

import chess

from matebot.ideas.squares import after_move
from matebot.ideas.truth import Truth


def shorter(before: chess.Board, move: chess.Move, truth: Truth) -> list[tuple[chess.Move, chess.Board]]:
    """Return the legal moves that lose sooner than a lost one, with the boards after them."""
    return _beside(before, move, truth, lambda plies, mine: plies < mine)


def as_long(before: chess.Board, move: chess.Move, truth: Truth) -> list[tuple[chess.Move, chess.Board]]:
    """Return the other legal moves that lose as late as a lost one, with the boards after them."""
    return [item for item in _beside(before, move, truth, lambda plies, mine: plies == mine) if item[0] != move]


def longest(before: chess.Board, truth: Truth) -> list[chess.Board]:
    """Return the boards after the legal moves that lose latest, of a side that is lost."""
    lost = {move: worth.mate_plies or 0 for move, worth in truth.after(before).items() if worth.outcome > 0}
    most = max(lost.values(), default=0)
    return [after_move(before, move) for move, plies in lost.items() if plies == most]


def _beside(
    before: chess.Board, move: chess.Move, truth: Truth, wanted: Callable[[int, int], bool]
) -> list[tuple[chess.Move, chess.Board]]:
    worth = truth.after(before)
    outcome, mine = worth[move]
    if outcome <= 0 or mine is None:
        return []
    found = []
    for other, (wins, plies) in worth.items():
        if wins > 0 and plies is not None and wanted(plies, mine):
            there = after_move(before, other)
            found.append((other, there))
    return found


def best_reply(board: chess.Board, truth: Truth) -> chess.Move | None:
    """Return the winning move that is taught where it mates soonest, else the first that does by its name."""
    quick = soonest(board, truth)
    if len(quick) <= 1:
        return next(iter(quick), None)  # whatever is taught
    taught = truth.answer(board)
    return taught if taught in quick else min(quick, key=chess.Move.uci)


def soonest(board: chess.Board, truth: Truth) -> set[chess.Move]:
    """Return the winning moves that mate soonest."""
    wins = [(move, plies) for move, (outcome, plies) in truth.after(board).items() if outcome < 0]
    least = min((plies for _, plies in wins if plies is not None), default=None)
    return {move for move, plies in wins if plies == least}


def best_replies(board: chess.Board, truth: Truth) -> set[chess.Move]:
    """Return the moves that keep the outcome: those that mate soonest, all that draw, or those that lose latest."""
    if quick := soonest(board, truth):
        return quick
    worth = truth.after(board)
    best = max(((-wins, plies or 0) if wins else (0, 0) for wins, plies in worth.values()), default=None)
    return {move for move, (wins, plies) in worth.items() if ((-wins, plies or 0) if wins else (0, 0)) == best}
