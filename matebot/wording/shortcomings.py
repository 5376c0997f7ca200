"""What is wrong with a step of the king that loses a move, where none of the best moves does the same."""

from __future__ import annotations

from collections.abc import Callable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import CORNERS, from_edge, king_steps
from matebot.wording.phrases import listed, other, side
from matebot.wording.said import needs_king, parse_square, rivals_square

#: Whether a step of the king from one square to another has a fault, the other king standing on a third.
_Fault = Callable[[int, int, int], bool]
#: So many moves are named one by one.
_FEW = 3
_INTO_CORNER, _TO_EDGE = "goes into the corner", "goes to the edge"
_TOWARDS, _AWAY = "goes towards {}", "goes away from the centre"
_FAULTS: dict[str, _Fault] = {
    _INTO_CORNER: lambda was, now, rival: now in CORNERS,
    _TO_EDGE: lambda was, now, rival: not from_edge(now) and from_edge(was) > 0,
    _TOWARDS: lambda was, now, rival: king_steps(now, rival) < king_steps(was, rival),
    _AWAY: lambda was, now, rival: _off_centre(now) > _off_centre(was),
}


def shortcoming(facts: MoveFacts, better: MoveFacts) -> str:
    """Say what is wrong with a step of a bare king, and what lasts a move longer; nothing where that is not seen."""
    best = [better.san, *better.beside_named.others_as_good]
    if facts.man.piece != "king" or facts.men.defender_men or any(name[0] != "K" for name in best):
        return ""
    was, now, rival = parse_square(facts.move[:2]), parse_square(facts.move[2:4]), rivals_square(facts)
    goals = [parse_square(name.rstrip("+#")[-2:]) for name in best]
    for words, has in _FAULTS.items():
        if (words == _TOWARDS) > needs_king(facts) or not has(was, now, rival):
            continue
        if not any(has(was, goal, rival) for goal in goals):
            rivals_king = f"{side(other(facts.turn))}'s king"
            named = listed(best) if len(best) <= _FEW else better.san
            lasts = "last" if 1 < len(best) <= _FEW else "lasts"
            return f"{facts.san} {words.format(rivals_king)}; {named} {lasts} a move longer"
    return ""


def _off_centre(square: int) -> int:
    """Return how far a square is from the centre of the board, in halves of a file and of a rank."""
    return abs(2 * (square % 8) - 7) + abs(2 * (square // 8) - 7)
