"""That other moves are as good as the one a slip missed, and do without what is told of it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.prepares import Prepares
from matebot.terms import Mistake
from matebot.wording import attack, coming
from matebot.wording.lapses import best_ones
from matebot.wording.missed import step_as_good
from matebot.wording.phrases import be, listed
from matebot.wording.reason import NO_DEED
from matebot.wording.said import of

#: So many are named.
_NAMED = 2
#: So many moves are lost by a move that only takes time.
_LITTLE_TIME = 2
_AS_GOOD = " as good."
#: A cause by which the pawn may run, or the king come up.
_RUNS = " runs on"
#: How a cause begins that names a move for what it does, or for its line.
_MISSED = (" misses ", " loses time: ", _RUNS, "'s king: better is ")
#: Chances that speak for themselves, and those that do so where more than time is lost.
_MATE, _BLOWS = " mate in ", (" the fork ", " the skewer ")


def as_good(facts: MoveFacts, first: str) -> str:
    """Name the moves as good as the one missed where one does without what is told of it: ``Kd4 is as good``; else "".

    What takes, promotes or mates speaks for itself, and what wins a man by a check where more than time is lost.
    """
    only_time = (facts.cost.moves_lost or 0) <= _LITTLE_TIME
    speaks = _MATE in first or (not only_time and any(words in first for words in _BLOWS))
    missed = any(words in first for words in _MISSED) and not speaks
    if facts.cost.mistake is Mistake.OUTCOME or not missed:
        return ""
    words = _before_line(first)
    named = next((one for one in best_ones(facts) if one.san in words), None)
    if named is None or named.cost.moves_lost or (_speaks(named, only_time) and step_as_good(facts, named) is None):
        return ""
    kings_first = _RUNS in first  # they come up, as the rule says
    every, found = (
        sorted((one.san for one in ones if one.san not in words), key=lambda san: (kings_first and san[0] != "K", san))
        for ones in (named.as_quick, _without(named, first))
    )
    shown = [found[0], "others"] if found and len(every) > _NAMED else every
    return f"{listed(shown)} {be(shown)}{_AS_GOOD.removesuffix('.')}" if found else ""


def as_time_lost(facts: MoveFacts, first: str) -> str:
    """Tell a small slip as a loss of time where moves as good do without what is told of the better one.

    What the better move does is then no more than an example of how the time is used.
    """
    if (facts.cost.moves_lost or 0) > _LITTLE_TIME or any(words in first for words in _BLOWS):
        return first
    fault = "gives a check that gains nothing" if facts.gives.check else "loses time"
    name = next((one.san for one in best_ones(facts) if f" misses {one.san}, which " in first), "")
    return first.replace(f" misses {name}, which ", f" {fault}: better {name}, which ", 1) if name else first


def all_of_a_man(facts: MoveFacts) -> bool:
    """Whether all the best moves are of one man, so that a rule about it goes with each of them."""
    best = best_ones(facts)
    return len({one.man.piece for one in (*best, *(other for one in best[:1] for other in one.as_quick))}) <= 1


def _before_line(first: str) -> list[str]:
    """Return the words behind the slip as far as a line begins: a move of the line may be as good at once."""
    head = re.split(r"(?:: |, and )(?:if|after) ", first)[0]
    return head.replace(",", " ").replace(":", " ").replace(";", " ").split()[1:]


def names_as_good(sentence: str) -> bool:
    """Whether a sentence names moves as good."""
    return sentence.endswith(_AS_GOOD)


def _without(named: MoveFacts, first: str) -> Iterator[MoveFacts]:
    """Yield the moves as quick that do not do what is told of one; all of them where a line or a blow is told."""
    told = first.partition(f" {named.san}, which ")[2].partition("; ")[0].rstrip(".")
    if not told or any(words in first for words in _BLOWS):
        yield from named.as_quick
        return
    deed = next((one for one in attack.deeds(named) if attack.head(one.text) == attack.head(told)), NO_DEED)
    yield from attack.without(named, deed) if deed else ()


def _speaks(one: MoveFacts, only_time: bool) -> bool:
    wins = not only_time and of(Prepares, coming.wins_by_check)(one)
    return bool(one.man.captured or one.man.promoted or one.gives.mate or wins)
