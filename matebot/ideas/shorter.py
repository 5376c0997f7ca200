"""The defences that last less long than another."""

from __future__ import annotations

import chess

from matebot.ideas.truth import Truth


def shorter(before: chess.Board, move: chess.Move, truth: Truth) -> list[tuple[chess.Move, chess.Board]]:
    """Return the legal moves that lose sooner than a lost one, with the boards after them."""
    worth = truth.after(before)
    outcome, mine = worth[move]
    if outcome <= 0 or mine is None:
        return []
    found = []
    for other, (wins, plies) in worth.items():
        if wins > 0 and plies is not None and plies < mine:
            there = before.copy(stack=False)
            there.push(other)
            found.append((other, there))
    return found
