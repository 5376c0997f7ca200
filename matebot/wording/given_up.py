"""What a slip gives up for nothing that held a bare king: a line, its box or the cage."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.box import Box, BoxChange
from matebot.ideas.cut_off import CutOff
from matebot.ideas.idea import square_name
from matebot.ideas.refutation import Means, Refutation
from matebot.ideas.saved import Saved
from matebot.wording import maxims
from matebot.wording.causes import cut, opens
from matebot.wording.lapses import best_ones, told_from

#: Grown so many times a box is given up.
_TWICE = 2


def room_given(facts: MoveFacts, better: MoveFacts) -> tuple[str, str]:
    """Say that a man gives up the line that cut a bare king off, its box or the cage, and what that teaches.

    Nothing is told where the king cannot go out at once. It is told though other moves of the man cost as much: what is
    given up is seen on the board.
    """
    if facts.men.defender_men or not facts.by_attacker:
        return "", ""
    run, line = facts.seen.idea(Refutation), facts.seen.idea(CutOff)
    goals = [] if run is None or run.means is not Means.RUN else [*map(square_name, run.squares)]
    if goals and {*goals} <= {*facts.room.squares_given} and told_from(opens, facts, best_ones(facts)):
        return opens(facts, better), maxims.KEEP_IT_SHUT
    if line is not None and better.seen.slower_moves.less_bad_along(line.line, facts.seen.move):
        return (cut(facts, better), maxims.HOLD_THE_LINE) if told_from(cut, facts, best_ones(facts)) else ("", "")
    return _box_given(facts), maxims.ONLY_SMALLER.format(room="the box")


def _box_given(facts: MoveFacts) -> str:
    """Say that a rook that nothing drives off lets the box grow to twice its size, which no better move lets grow."""
    box = facts.seen.idea(Box)
    if box is None or box.change is not BoxChange.WIDENS or facts.gives.check or facts.seen.idea(Saved) is not None:
        return ""
    assert box.before is not None
    assert box.after is not None
    rook = facts.man.piece == "rook" and box.after >= _TWICE * box.before
    kept = all((one.box.box_after or box.after) <= box.before for one in best_ones(facts))
    return f"lets the box grow from {box.before} to {box.after} squares" if rook and kept else ""
