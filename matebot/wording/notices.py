"""Short notices of a session: how an answer was found, and what was left out of it."""

from __future__ import annotations


def unsolved(depth: int, mate_is_proved: bool) -> str:
    """Say that a move was looked for because the ending is not solved yet, and how far that can be trusted."""
    if mate_is_proved:
        return "the ending is not solved yet: this mate was found by looking ahead"
    return f"the ending is not solved yet: an estimate, {depth} {'ply' if depth == 1 else 'plies'} ahead"


def shortened() -> str:
    """Say that explanations were left out because the answer was wanted at once."""
    return "explanations shortened: the answer was wanted at once"
