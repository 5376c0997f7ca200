"""A waiting move: the attacker only passes the turn."""

from __future__ import annotations

import chess

from matebot.facts.kings_room import KingsRoom
from matebot.facts.played import Played
from matebot.ideas.quick_board import quick
from matebot.records import dataclass

_MOST_REPLIES = 2


@dataclass(frozen=True, slots=True)
class Passing:
    """Whether a move waits.

    Attributes
    ----------
    waiting : a quiet move of the attacker that keeps the win and changes no square of the defending king, who has at
        most two moves and who, to move in the position before, would have been mated as soon
    """

    waiting: bool

    @classmethod
    def of(cls, played: Played) -> Passing:
        """Return whether a move waits."""
        if not _is_quiet(played) or len(played.replies) > _MOST_REPLIES:
            return cls(False)
        room = KingsRoom.of(played)
        return cls(not room.squares_taken and not room.squares_given and _passes(played))


def _is_quiet(played: Played) -> bool:
    return not (played.after.is_check() or played.before.is_zeroing(played.move))


def _passes(played: Played) -> bool:
    """Whether the move keeps a win that would come as soon if it were the defender's turn in the position before."""
    passed = quick(played.before)
    if passed.is_check() or not played.ranked.exact or played.ranked.outcome <= 0:
        return False
    passed.push(chess.Move.null())
    value, now = played.judged.library.tables.value(passed), played.ranked.verdict.mate_plies
    return value.outcome < 0 and (value.dtm_plies or 0) <= (now or 0)
