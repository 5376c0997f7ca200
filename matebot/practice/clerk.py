"""The thread that keeps the games of a session while another one answers; see `watch`."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable
from pathlib import Path

from matebot.practice.following import Event, Follower
from matebot.practice.judging import Judge
from matebot.practice.keeping import Keeper
from matebot.practice.names import clean_name
from matebot.practice.notebook import Notebook

_LOOK_SECONDS = 0.2
#: The session must have been quiet for so long before a game is written, and before moves are judged.
_QUIET_SECONDS, _LONG_QUIET_SECONDS = 0.1, 1.0
#: Where it is never quiet a game is written all the same after so long.
_MOST_SECONDS = 5.0
#: At the end of the session the last games are judged as far as this allows; the rest is judged when it is next read.
_FINISH_SECONDS = 1.5


class Clerk:
    """The thread that keeps the games of one pupil.

    Parameters
    ----------
    tell : takes a line about what went wrong, from any thread
    make_judge : makes a judge when the first move is to be judged
    place : the file of the record, None for the usual one

    Raises
    ------
    UserError
        when that is no name
    """

    def __init__(
        self, pupil: str, tell: Callable[[str], None], make_judge: Callable[[], Judge], place: Path | None = None
    ) -> None:
        self._follower = Follower(clean_name(pupil))
        self._pupil, self._tell, self._make_judge, self._place = pupil, tell, make_judge, place
        self._judge: Judge | None = None
        self._keeper: Keeper | None = None
        self._events: deque[Event] = deque()
        self._last_event = time.monotonic()
        self._over = threading.Event()
        self._written: dict[str, tuple[object, ...]] = {}
        self._unjudged: list[Notebook] = []
        self._thread = threading.Thread(target=self._work, daemon=True)
        self._thread.start()

    def put(self, event: Event) -> None:
        """Put an event down; takes no lock and wakes nobody."""
        self._events.append(event)
        self._last_event = time.monotonic()

    def finish(self) -> None:
        """Write and judge what there is, and wait for that, but not long."""
        self._over.set()
        self._thread.join(_FINISH_SECONDS + 0.5)

    def _work(self) -> None:
        looked = time.monotonic()
        try:
            while not self._over.wait(_LOOK_SECONDS):
                now = time.monotonic()
                quiet = now - self._last_event
                if quiet >= _QUIET_SECONDS or now - looked >= _MOST_SECONDS:
                    self._look()
                    looked = now
                if quiet >= _LONG_QUIET_SECONDS:
                    self._judge_all(self._is_quiet)
            self._look()
            self._follower.end_game()
            self._look()
            end = time.monotonic() + _FINISH_SECONDS
            self._judge_all(lambda: time.monotonic() < end)
            if self._keeper is not None:
                self._keeper.close()
        except Exception as fault:
            self._tell(f"internal fault, nothing more is kept: {fault!r}")

    def _is_quiet(self) -> bool:
        return time.monotonic() - self._last_event >= _LONG_QUIET_SECONDS and not self._over.is_set()

    def _look(self) -> None:
        """Follow what has happened, and write every game in which there is something new."""
        while self._events:
            self._follower.take(self._events.popleft())
        self._unjudged += self._follower.closed
        self._follower.closed.clear()
        for notebook in self._open_games():
            self._write(notebook)

    def _open_games(self) -> list[Notebook]:
        present = self._follower.notebook
        return [*self._unjudged, *([present] if present is not None else [])]

    def _judge_all(self, wanted: Callable[[], bool]) -> None:
        """Judge moves one by one as long as that is wanted, and write the games again."""
        for notebook in self._open_games():
            if not notebook.has_moves:
                continue
            if self._judge is None:
                self._judge = self._make_judge()
            done = notebook.judge(self._judge, wanted)
            self._write(notebook)
            if not done:
                return
            if notebook in self._unjudged:
                self._unjudged.remove(notebook)

    def _write(self, notebook: Notebook) -> None:
        state = notebook.state()
        if self._written.get(notebook.key) == state or not notebook.has_moves:
            return
        if self._keeper is None:
            self._keeper = Keeper(self._pupil, self._place, self._tell)
        self._keeper.keep(notebook)
        self._written[notebook.key] = state
