"""Notes the games of a session beside it, so that no answer waits for the record.

The session only puts down what happened. A thread of its own looks at it now and then: once the session has been
quiet for a moment it writes the game, once it has been quiet for longer it judges the pupil's moves and writes it
again. It judges with tables of its own, so it shares nothing with the thread that answers. Without a pupil's name
there is no thread and nothing is kept.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

import chess

from matebot.errors import UserError
from matebot.practice.following import Answered, NewGame, Placed
from matebot.practice.judging import Judge
from matebot.wording.practice import not_kept

if TYPE_CHECKING:
    from matebot.practice.clerk import Clerk


class Onlooker:
    """Notes the games of one session.

    Parameters
    ----------
    tell : takes a line about what went wrong, from any thread
    make_judge : makes a judge when the first move is to be judged
    """

    def __init__(self, tell: Callable[[str], None], make_judge: Callable[[], Judge]) -> None:
        self._tell, self._make_judge = tell, make_judge
        self._clerk: Clerk | None = None

    def set_pupil(self, name: str) -> list[str]:
        """Take the name of the pupil, or none, and return what there is to say.

        What was noted before is finished under the old name.
        """
        from matebot.practice.clerk import Clerk  # the record is needed by those who give a name only

        self.finish()
        if not name.strip():
            return []
        try:
            self._clerk = Clerk(name, self._tell, self._make_judge)
        except UserError as fault:
            return [not_kept(str(fault))]
        return []

    def placed(self, board: chess.Board) -> None:
        """Take note of a position that was sent; nobody may change the board later."""
        if self._clerk is not None:
            self._clerk.put(Placed(board, time.monotonic()))

    def answered(self, best: str | None, ponder: bool, infinite: bool) -> None:
        """Take note of the answer to a question about the last position."""
        if self._clerk is not None:
            self._clerk.put(Answered(best, time.monotonic(), ponder, infinite))

    def new_game(self) -> None:
        """Take note that the next position belongs to another game."""
        if self._clerk is not None:
            self._clerk.put(NewGame())

    def finish(self) -> None:
        """Write what has been noted; returns when that is done, or the time for it is over."""
        clerk, self._clerk = self._clerk, None
        if clerk is not None:
            clerk.finish()
