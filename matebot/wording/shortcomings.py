"""What is wrong with a step of the king that loses a move, where none of the best moves does the same."""

from __future__ import annotations

from collections.abc import Callable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import CORNERS, from_edge
from matebot.wording.phrases import listed
from matebot.wording.said import parse_square

#: Whether a step of the king from one square to another has a fault.
_Fault = Callable[[int, int], bool]
#: So many moves are named one by one.
_FEW = 3
_INTO_CORNER, _TO_EDGE = "goes into the corner", "goes to the edge"
_AWAY = "goes away from the centre"
_FAULTS: dict[str, _Fault] = {
    _INTO_CORNER: lambda was, now: now in CORNERS,
    _TO_EDGE: lambda was, now: not from_edge(now) and from_edge(was) > 0,
    _AWAY: lambda was, now: _off_centre(now) > _off_centre(was),
}


def shortcoming(facts: MoveFacts, better: MoveFacts) -> str:
    """Say what is wrong with a step of a bare king, and what lasts a move longer; nothing where that is not seen."""
    best = [better.san, *better.beside_named.others_as_good]
    if facts.man.piece != "king" or facts.men.defender_men or any(name[0] != "K" for name in best):
        return ""
    was, now = parse_square(facts.move[:2]), parse_square(facts.move[2:4])
    goals = [parse_square(name.rstrip("+#")[-2:]) for name in best]
    for words, has in _FAULTS.items():
        if has(was, now) and not any(has(was, goal) for goal in goals):
            named = listed(best) if len(best) <= _FEW else better.san
            lasts = "last" if 1 < len(best) <= _FEW else "lasts"
            return f"{facts.san} {words}; {named} {lasts} a move longer"
    return ""


def _off_centre(square: int) -> int:
    """Return how far a square is from the centre of the board, in halves of a file and of a rank."""
    return abs(2 * (square % 8) - 7) + abs(2 * (square // 8) - 7)
