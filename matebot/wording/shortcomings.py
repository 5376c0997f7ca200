"""What is wrong with a step of the king that loses a move, where none of the best moves does the same."""

from __future__ import annotations

from collections.abc import Callable

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.squares import CORNERS, from_edge, king_steps, off_centre
from matebot.wording.counsel import OFF_THE_EDGE
from matebot.wording.phrases import listed
from matebot.wording.remark import NOTHING, Remark
from matebot.wording.said import goal_of, men_at, parse_square, rivals_men, rivals_square, stands, stood

#: Whether a step of the king from one square to another has a fault.
_Fault = Callable[[int, int], bool]
#: So many moves are named one by one.
_FEW = 3
_INTO_CORNER, _TO_EDGE = "goes into the corner", "goes to the edge"
_AWAY, _ON_EDGE = "goes away from the centre", "stays on the edge"
#: Up to so many steps from a man a king may still hope to attack it.
_NEAR = 3
_FAULTS: dict[str, _Fault] = {
    _INTO_CORNER: lambda was, now: now in CORNERS,
    _TO_EDGE: lambda was, now: not from_edge(now) and from_edge(was) > 0,
    _ON_EDGE: lambda was, now: not from_edge(now) and not from_edge(was),
    _AWAY: lambda was, now: off_centre(now) > off_centre(was),
}


def shortcoming(facts: MoveFacts, better: MoveFacts) -> Remark:
    """Say what is wrong with a step of a bare king, and what lasts a move longer; nothing where that is not seen."""
    best = [better.san, *better.beside_named.others_as_good]
    if facts.men.defender_men or any(name[0] != "K" for name in best):
        return NOTHING
    was, now = stood(facts), stands(facts)
    goals = [parse_square(goal_of(name)) for name in best]
    for words, has in {**_FAULTS, **_from_men(facts, was)}.items():
        if words == _ON_EDGE and "pawn" in facts.men.attacker_men:
            continue  # what matters is the pawn
        if has(was, now) and not any(has(was, goal) for goal in goals) and not _as_short_without(was, has, facts):
            named = listed(best) if len(best) <= _FEW else better.san
            lasts = "last" if 1 < len(best) <= _FEW else "lasts"
            lesson = OFF_THE_EDGE if words == _TO_EDGE else ""
            return Remark(f"{facts.san} {words}; {named} {lasts} a move longer", lesson)
    return NOTHING


def _as_short_without(was: int, has: _Fault, facts: MoveFacts) -> bool:
    """Whether another step that lasts as short a time has no such fault: then that is not why."""
    return any(not has(was, step) for step in facts.seen.contrast.equal_kings)


def _from_men(facts: MoveFacts, was: int) -> dict[str, _Fault]:
    """Return the fault of going away from a bishop or knight that the king stands near and no king guards."""

    def leaves(man: int) -> _Fault:
        return lambda was, now: king_steps(now, man) > king_steps(was, man)

    return {
        f"goes away from {name}": leaves(man)
        for man in ([] if "pawn" in facts.men.attacker_men else rivals_men(facts))
        if (name := men_at(facts, [man])) in ("the bishop", "the knight")
        and facts.men.attacker_men.count(name.removeprefix("the ")) == 1
        and king_steps(was, man) <= _NEAR
        and king_steps(rivals_square(facts), man) > 1
    }
