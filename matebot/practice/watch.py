"""Notes the games of a session beside it, so that no answer waits for the record.

The session only puts down what happened, as plain data in a list. Between questions that is handed to a process of
its own, the `clerk`, which does everything else; threads of this process do nothing but wait for the pipes to it.
Without a pupil's name there is no such process and nothing is kept.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from matebot.errors import UserError
from matebot.practice.names import clean_name
from matebot.wording.practice import CLERK_GONE, not_kept

if TYPE_CHECKING:
    from matebot.practice.errand import Errand, Message

#: At the end of the session so long is waited until all is written; it goes on being written after that.
_FINISH_SECONDS = 2.0


class Onlooker:
    """Notes the games of one session.

    Parameters
    ----------
    tell : takes a line about what went wrong, from any thread
    folder : returns where solved endings are kept, None for nowhere
    """

    def __init__(self, tell: Callable[[str], None], folder: Callable[[], Path | None]) -> None:
        self._tell, self._folder = tell, folder
        self._errand: Errand | None = None
        self._noting = False
        self._waiting: deque[Message] = deque()

    def set_pupil(self, name: str) -> list[str]:
        """Take the name of the pupil, or none, and return what there is to say.

        What was noted before is finished under the old name.
        """
        self._noting = False
        try:
            pupil = clean_name(name) if name.strip() else ""
            if pupil and (self._errand is None or not self._errand.is_alive):
                self._errand = self._started()
        except (UserError, OSError) as fault:
            pupil, said = "", [not_kept(str(fault))]
        else:
            said = []
        self._waiting.append(("pupil", pupil))
        self.hand_over()
        self._noting = bool(pupil)
        return said

    def _started(self) -> Errand:
        from matebot.practice.errand import Errand  # needed by those who give a name only

        return Errand(self._tell, lambda: self._tell(not_kept(CLERK_GONE)))

    def placed(self, fen: str | None, moves: Sequence[str]) -> None:
        """Take note of a position that was sent and can be read, as it was sent."""
        self.hand_over()  # where the session never rests
        self._note("position", time.monotonic(), fen, moves)

    def answered(self, best: str | None, ponder: bool, infinite: bool) -> None:
        """Take note of the answer to a question about the last position."""
        self._note("answer", best, time.monotonic(), ponder, infinite)

    def new_game(self) -> None:
        """Take note that the next position belongs to another game."""
        self._note("new game")
        self.hand_over()

    def _note(self, *message: object) -> None:
        if self._noting:
            self._waiting.append(message)

    def hand_over(self) -> None:
        """Hand over what has been put down; never waits."""
        while self._waiting:
            message = self._waiting.popleft()
            if self._errand is not None:
                self._errand.send(message)

    def finish(self) -> None:
        """Have written what has been noted; returns when that is done, or the time for it is over."""
        if self._errand is not None:
            folder = self._folder()
            self._waiting.append(("end", None if folder is None else str(folder)))
            self.hand_over()
            self._errand.finish(_FINISH_SECONDS)
            self._errand, self._noting = None, False
