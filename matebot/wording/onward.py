"""What the move after the reply does, told behind a line of two moves that gives no end."""

from __future__ import annotations

from matebot.facts.move_facts import MoveFacts
from matebot.wording.attack import deeds, head
from matebot.wording.phrases import LINE, side
from matebot.wording.reason import NO_DEED
from matebot.wording.said import goal_of

#: What says already what the second move does, and deeds that are no end.
_SAYS = ("prepares", "begins the W", "goes on with the W", "offers", "lets the")
_NO_END = (
    "is the only",
    "waits",
    "keeps",
    "leaves the next",
    "moves the free",
    "looks for",
    "lets the",
    "is after",
    "stays close",
    "gives check after",
)
#: How a check that another man gives begins, told before what the move does.
DISCOVERS = "discovers check and "
#: Captures, promotions and mates speak for themselves.
_SIGNS = frozenset("x=#")


def with_end(deed: str, facts: MoveFacts) -> str:
    """Return what a move does, and what the second move of its line does where that has room."""
    return _forced(_with_end(deed, facts), facts)


def _forced(text: str, facts: MoveFacts) -> str:
    """Say that the only reply is forced; where the king is driven, or left, to one square it need not be told."""
    reply = facts.replies.only_reply
    if reply is None:
        return text
    known = reply.startswith("K") and f"{goal_of(reply)}: if {reply}, " in text
    return text.replace(f": if {reply}, ", ": then " if known else f": {reply} is forced, then ")


def _with_end(deed: str, facts: MoveFacts) -> str:
    line = facts.then.ahead
    if len(line) <= 1 or not deed.endswith(f": if {line[0]}, {line[1]}") or deed.startswith(_SAYS):
        return deed
    answer = None if _SIGNS & set(line[1]) else facts.answer
    end = "" if answer is None else head(next(deeds(answer), NO_DEED).text)
    text = f"{deed} {end}"
    has_room = len(f"{side(facts.turn)}: {facts.san} {text}.") <= LINE
    again = end in deed or (" along " in end and end.partition(" along ")[2] in deed)
    return text if has_room and not again and not end.removeprefix(DISCOVERS).startswith(_NO_END) else deed
