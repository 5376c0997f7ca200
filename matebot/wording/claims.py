"""What is told beside a coach's claim that does not hold."""

from __future__ import annotations

from collections.abc import Sequence

from matebot.wording.phrases import counted, listed, sentence, side

_MOST_NAMED = 3
_KEEPS = {1: "win", 0: "draw", -1: "loses just the same"}


def here(winner: str | None, moves: int | None) -> str:
    """Say what a position is worth."""
    if winner is None:
        return "the position is drawn"
    return f"{side(winner)} has mated" if moves == 0 else f"{side(winner)} mates in {moves}"


def not_so(text: str, moves: Sequence[str], truth: str) -> str:
    """Return what is told beside a claim about a position."""
    where = f" after {' '.join(moves)}" if moves else ""
    return sentence(f'"{text}" does not hold{where}: {truth}')


def not_only(text: str, san: str, others: Sequence[str], keeps: bool, outcome: int, denied: bool) -> str:
    """Return what is told beside a claim that a move is the only one, or that it is not."""
    if denied:
        return sentence(f'"{text}": {san} is the only one')
    if outcome < 0:
        return sentence(f'"{text}" does not hold: the position is lost whatever is played')
    kept = _KEEPS[outcome]
    more = [f"{len(others) - _MOST_NAMED} more"] if len(others) > _MOST_NAMED else []
    named = listed([*others[:_MOST_NAMED], *more])
    if not keeps:
        return sentence(f'"{text}" does not hold: {san} gives the {kept} away, {named} would keep it')
    return sentence(f'"{text}" does not hold: {named} would keep the {kept} too')


def not_checked(text: str, moves: Sequence[str]) -> str:
    """Return what is told beside a claim whose moves cannot be played."""
    return sentence(f'"{text}" is not checked: {" ".join(moves) or "no move"} cannot be played there')


def count(found: int, wrong: int) -> str:
    """Say how many claims of outcome, mate and only moves there are and how many do not hold."""
    if not found:
        return "The remarks claim no outcome, no mate number and no only move."
    return sentence(
        f"{counted(found, 'claim')} of the remarks checked, {wrong or 'none'} not true or not to be checked"
    )
