"""How long an answer may take: the one place where time for a move is planned.

A movement of the clock is never seen here: `allowance_seconds` is a function of the question alone, and `Pace` asks
for the time.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from matebot.uci.partnership import Question, Watch

#: Kept back of every allowance, for the way to the interface: this long, and never more than this part.
_RESERVE_SECONDS, _RESERVE_PART = 0.02, 0.2
#: The part of the clock for a move, by moves to the next time control; fewer are not told apart from these.
_MOST_MOVES_SHARED, _FEWEST_MOVES_SHARED = 10, 2
#: The part of the increment that is used up.
_INCREMENT_PART = 0.75
#: What stands for the work of one node when a question sets a limit of nodes.
_NODE_SECONDS = 1e-4
#: How long an answer may be made complete once it is wanted at once.
_GRACE_SECONDS = 0.04
#: How long an answer is waited for after ``quit``: to a question with a limit of time, and to any other, which asks
#: for the exact answer however long it takes.
_TIMED_PATIENCE_SECONDS, _PATIENCE_SECONDS = 3.0, 20.0
#: How long a move is looked for where the ending is not solved in time, and at most which part of the allowance.
_SEARCH_SECONDS, _SEARCH_PART = 0.05, 0.5


def allowance_seconds(question: Question, white_to_move: bool) -> float | None:
    """Return how many seconds the answer to a question may take, None where nothing limits them.

    The strictest limit holds. A limit of depth or moves to mate takes no time away.
    """
    if question.infinite:
        return None
    limits = []
    if question.movetime_ms is not None:
        limits.append(question.movetime_ms / 1000)
    if question.nodes is not None:
        limits.append(question.nodes * _NODE_SECONDS)
    clock_ms = question.white_ms if white_to_move else question.black_ms
    if clock_ms is not None:
        increment_ms = question.white_increment_ms if white_to_move else question.black_increment_ms
        limits.append(_share_ms(clock_ms, increment_ms or 0, question.moves_to_go) / 1000)
    if not limits:
        return None
    limit = min(limits)
    return max(0.0, limit - min(_RESERVE_SECONDS, limit * _RESERVE_PART))


def patience_seconds(question: Question) -> float:
    """Return how many seconds the full answer to a question is worth waiting for after ``quit``."""
    limits = (question.movetime_ms, question.nodes, question.white_ms, question.black_ms)
    return _PATIENCE_SECONDS if all(limit is None for limit in limits) else _TIMED_PATIENCE_SECONDS


def _share_ms(clock_ms: int, increment_ms: int, moves_to_go: int | None) -> float:
    """Return the part of a clock for one move: never more than half, so that it cannot run out."""
    moves = max(_FEWEST_MOVES_SHARED, min(moves_to_go or _MOST_MOVES_SHARED, _MOST_MOVES_SHARED))
    return min(clock_ms / moves + increment_ms * _INCREMENT_PART, clock_ms / _FEWEST_MOVES_SHARED)


class Pace:
    """Tells, while an answer is worked out, whether there is time left.

    Parameters
    ----------
    now : the time in seconds, `time.monotonic` outside tests
    """

    def __init__(
        self, question: Question, white_to_move: bool, watch: Watch, now: Callable[[], float] = time.monotonic
    ) -> None:
        self._now = now
        self._watch = watch
        self._allowance = allowance_seconds(question, white_to_move)
        self._turned_to = now()
        self._due_since: float | None = None

    def elapsed_ms(self) -> int:
        """Return how long the question has been worked on."""
        return int((self._now() - self._turned_to) * 1000)

    def left_seconds(self) -> float | None:
        """Return the time left for the answer, None where nothing limits it; a stop leaves none."""
        if self._watch.stopped():
            return 0.0
        if self._allowance is None or self._watch.untimed():
            return None
        since = self._watch.asked_at()
        return (self._turned_to if since is None else since) + self._allowance - self._now()

    def is_due(self) -> bool:
        """Whether the answer is wanted now."""
        left = self.left_seconds()
        return left is not None and left <= 0

    def is_due_unsolved(self) -> bool:
        """Whether only the time to look for a move is left, so that a solution should not be waited for."""
        left = self.left_seconds()
        return left is not None and left <= self._search_seconds()

    def is_overdue(self) -> bool:
        """Whether the answer has been wanted for so long that nothing more should be added to it."""
        if not self.is_due():
            self._due_since = None
            return False
        if self._due_since is None:
            self._due_since = self._now()
        return self._now() - self._due_since >= _GRACE_SECONDS

    def search_end(self) -> float:
        """Return when a search for a move has to end, in the seconds of `now`."""
        left = self.left_seconds()
        return self._now() + (_SEARCH_SECONDS if not left or left <= 0 else min(left, _SEARCH_SECONDS))

    def _search_seconds(self) -> float:
        return _SEARCH_SECONDS if self._allowance is None else min(_SEARCH_SECONDS, self._allowance * _SEARCH_PART)
