"""That other moves win as quickly without what is told of a good one: a reason, but not the only way."""

from __future__ import annotations

from itertools import islice

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.leaves_man import LeavesMan
from matebot.ideas.prepares import Prepares
from matebot.wording import coming
from matebot.wording.attack import without
from matebot.wording.phrases import be, listed
from matebot.wording.reason import Deed, Rank
from matebot.wording.said import of

#: So many are named.
_NAMED = 2


def as_quick(facts: MoveFacts, deed: Deed) -> str:
    """Name moves that are as quick and do not do what is told, two at most: ``Ke8 is as quick``; "" without one.

    A capture that is left out comes first, then moves of the same man. What wins a man by a check speaks for itself.
    Of a step of the king that is a part of its way its other steps are named as well.
    """
    if few_win(facts):
        return ""  # They are told where it is told that no others win.
    left = facts.seen.idea(LeavesMan)
    capture = [facts.seen.name(left.capture)] if left is not None and not left.later else []
    others = () if _speaks(facts) else facts.as_quick if _on_the_way(facts, deed) else without(facts, deed)
    same_man = {other.san: other.move[:2] != facts.move[:2] for other in islice(others, _NAMED + 1)}
    found = [*capture, *sorted(same_man.keys() - {*capture}, key=lambda san: (same_man[san], san))]
    if found:  # A list of some is taken for all of them, so those that do the same count too.
        found += sorted({other.san for other in facts.as_quick} - {*found})
    named = [*found[:1], "others"] if len(found) > _NAMED else found
    return f"{listed(named)} {be(named)} as quick" if named else ""


def few_win(facts: MoveFacts) -> bool:
    """Whether few other moves win, and not all of them."""
    return 1 < facts.beside.keeping <= _NAMED + 1 and facts.beside.keeping < facts.beside.choices


def only_these(facts: MoveFacts) -> str:
    """Name the few other moves that win, and say which of them do so as quickly; "" where there are more."""
    if not few_win(facts):
        return ""
    also = [san for san in facts.beside_named.keepers if san != facts.san]
    fast = set() if facts.cost.moves_lost else {other.san for other in facts.as_quick}
    quick, slow = [san for san in also if san in fast], [san for san in also if san not in fast]
    if quick and slow:
        return f"only {listed(quick)}, as quick, and {listed(slow)} win too"
    return f"only {listed(also)} win{'s' if len(also) == 1 else ''} too{', as quickly' if quick else ''}"


def _speaks(facts: MoveFacts) -> bool:
    """Whether a move needs no reason beside what it does, or follows the method at the cost of time."""
    return bool(of(Prepares, coming.wins_by_check)(facts) or facts.cost.moves_lost)


def _on_the_way(facts: MoveFacts, deed: Deed) -> bool:
    """Whether a step of the king is told as a part of its way, which others may be too."""
    return facts.man.piece == "king" and deed.reason is not None and deed.reason.rank is Rank.PLAN
