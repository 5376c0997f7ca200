"""What a move does with the reason that it tells: both stay together until a sentence is made."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import TypeVar

from matebot.facts.move_facts import MoveFacts
from matebot.ideas.idea import Idea
from matebot.ideas.king_nearer import KingNearer, Purpose
from matebot.records import dataclass
from matebot.wording.maxims import Maxim, no_maxim
from matebot.wording.said import Rule, of

_I = TypeVar("_I", bound=Idea)


class Rank(Enum):
    """How much a reason says: a plan is worth telling even if slower moves follow it too."""

    REASON = 0
    PLAN = 1
    WEAK = 2


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule that gives a reason in the trade's terms, with what a pupil can take along.

    Attributes
    ----------
    idea : the idea it tells, None where slower moves are not asked whether they share it
    purpose : returns the purpose of a king's step that it tells, None where it tells the idea as a whole
    rank : what is told first where slower moves do the same: not what only says what comes next or what stays
    about : attributes of the idea that the text names: where they are others, no text is made to see that it is another
    """

    rule: Rule
    maxim: Maxim = no_maxim
    idea: type[Idea] | None = None
    purpose: Callable[[KingNearer], Purpose] | None = None
    rank: Rank = Rank.REASON
    about: tuple[str, ...] = ()

    def purpose_of(self, idea: Idea) -> Purpose | None:
        """Return the purpose of a king's step that it tells."""
        if self.purpose is None:
            return None
        assert isinstance(idea, KingNearer)
        return self.purpose(idea)

    def is_other(self, facts: MoveFacts, other: MoveFacts) -> bool:
        """Whether two moves show the idea about different things, as far as the text names them."""
        if self.idea is None or not self.about:
            return False
        mine, theirs = facts.seen.idea(self.idea), other.seen.idea(self.idea)
        return theirs is None or any(getattr(mine, name) != getattr(theirs, name) for name in self.about)


def seen(
    kind: type[_I],
    text: Callable[[_I, MoveFacts], str],
    general: Maxim = no_maxim,
    rank: Rank = Rank.REASON,
    about: tuple[str, ...] = (),
) -> Reason:
    """Return a reason that an idea of a kind gives."""
    return Reason(of(kind, text), general, kind, None, rank, about)


def step(
    text: Callable[[KingNearer, MoveFacts], str],
    purpose: Callable[[KingNearer], Purpose],
    general: Maxim = no_maxim,
    rank: Rank = Rank.REASON,
) -> Reason:
    """Return a reason that a step of the king gives by one of its purposes."""
    return Reason(of(KingNearer, text), general, KingNearer, purpose, rank)


@dataclass(frozen=True, slots=True)
class Deed:
    """What a move does.

    Attributes
    ----------
    text : as it follows the name of the move
    reason : the reason that it tells, None where it only says what changes on the board
    plain : the rule that says what changes, where there is no reason
    in_short : whether what follows from it is left out
    """

    text: str = ""
    reason: Reason | None = None
    plain: Rule | None = None
    in_short: bool = False

    def __bool__(self) -> bool:
        """Whether anything is told."""
        return bool(self.text)

    def told(self, text: str) -> Deed:
        """Return the same in other words."""
        return Deed(text, self.reason, self.plain, self.in_short)

    def teaches(self, facts: MoveFacts) -> str:
        """Return what a pupil can take along from it; "" where nothing."""
        return "" if self.reason is None else self.reason.maxim(facts)


NO_DEED = Deed()
