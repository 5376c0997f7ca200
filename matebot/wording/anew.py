"""What is told of a good move in a game looked over: the first thing it does that was not told of the moves before it.

Nothing is told of a move that is forced or does nothing new: who says the same of every move is not heard.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from itertools import islice

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.critical import Critical
from matebot.records import dataclass
from matebot.terms import Cause
from matebot.wording.attack import reasons, shows_answer
from matebot.wording.defence import purposes
from matebot.wording.draws import why_drawn
from matebot.wording.lasting import any_other, is_test
from matebot.wording.moves import worth_knowing
from matebot.wording.phrases import sentence

#: Moves, squares and numbers: what was said of some need not be said of others. But the squares that are left to the
#: king, and the steps of the W, tell how far it has gone.
_NAMES = re.compile(r"\b(?:[KQRBN]?[a-h]?[1-8]?x?[a-h][1-8](?:=[QRBN])?|\d+(?! square| of 4))\b[+#]?")
_CRITICAL, _ONLY = "is the best defence", "is the only move that"


@dataclass(frozen=True, slots=True)
class Anew:
    """What is told of a move.

    Attributes
    ----------
    sentences : the first is about the move; none where nothing is told
    lately : what it says, whatever the squares: not to be told of the next moves
    once : the same of what need not be told again in the game
    """

    sentences: tuple[str, ...] = ()
    lately: tuple[str, ...] = ()
    once: tuple[str, ...] = ()


def leading(facts: MoveFacts) -> tuple[str, ...]:
    """Return what the first thing that a move does says, whatever the squares; nothing where it does nothing."""
    found = (deed.text for deed in reasons(facts)) if facts.by_attacker else purposes(facts)
    return tuple(map(pattern, islice(found, 1)))


def told_anew(facts: MoveFacts, hints: bool, said: Collection[str]) -> Anew:
    """Return what is told of a move that loses nothing.

    Parameters
    ----------
    hints : whether the next moves may be told
    said : what was said lately, or may be said only once
    """
    if facts.worth.cause_before is Cause.DEAD_POSITION or facts.beside.choices == 1:
        return Anew()
    if facts.worth.outcome_after == 0:
        return _drawn(facts, said)
    return _attack(facts, hints, said) if facts.by_attacker else _defence(facts, said)


def _attack(facts: MoveFacts, hints: bool, said: Collection[str]) -> Anew:
    for deed in (deed for deed in reasons(facts) if pattern(deed.text) not in said):
        more = worth_knowing(facts, hints and not shows_answer(deed, facts), deed)
        return Anew((sentence(f"{facts.san} {deed.text}"), *more), (pattern(deed.text),))
    return _only(facts, "wins", said)


def _defence(facts: MoveFacts, said: Collection[str]) -> Anew:
    tries, critical = _new(purposes(facts), said), facts.seen.idea(Critical)
    if critical is None or not is_test(critical, facts) or _CRITICAL in said:
        return Anew((sentence(f"{facts.san} {tries[0]}"),), (pattern(tries[0]),)) if tries else Anew()
    why = [
        *(f"it {text}" for text in tries),
        any_other(critical, facts),
    ]
    first, *more = why
    told = (sentence(f"{facts.san} {_CRITICAL}: {first}"), *map(sentence, more))
    return Anew(told, (_CRITICAL, *map(pattern, tries)))


def _drawn(facts: MoveFacts, said: Collection[str]) -> Anew:
    why, only = why_drawn(facts), _only(facts, "draws", said)
    if not why or any(pattern(why) in told for told in said):  # a part of what was told is not told again either
        return only
    kind = f"drawn by {type(facts.seen.why_drawn).__name__}"
    if kind in said and pattern(why) == why:  # no square of this position in it: the same reason in other words
        return only
    first = f"{facts.san} {'leaves it drawn' if facts.by_attacker else 'keeps the draw'}: {why}"
    more = [f"it {_ONLY} draws"] if only.sentences else []
    return Anew(tuple(map(sentence, [first, *more])), only.lately, (pattern(why), kind))


def _only(facts: MoveFacts, does: str, said: Collection[str]) -> Anew:
    if facts.beside.keeping > 1 or _ONLY in said:
        return Anew()
    return Anew((sentence(f"{facts.san} {_ONLY} {does}"),), (_ONLY,))


def _new(texts: Iterable[str], said: Collection[str]) -> list[str]:
    """Return the first text that was not said, if any."""
    return list(islice((text for text in texts if pattern(text) not in said), 1))


def pattern(text: str) -> str:
    """Return what a text says, whatever the squares, moves and numbers; but see `_NAMES`."""
    return _NAMES.sub("*", text)
