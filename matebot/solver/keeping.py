"""Keeping what has been solved, behind the answers: what was asked for first, then the rest from the last backwards.

Each ending is kept as soon as it stands, while the next one is solved, so that work which is broken off is not lost.
Packing lets go of the interpreter, and so the two get on beside each other. An ending is packed in the foreground only
where too many bytes are held unpacked. Never decides what is solved.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Protocol

from matebot.solver.material import Material
from matebot.solver.table_file import Interrupted

#: How often somebody who waits for the thread behind looks whether he should go on.
_POLL_SECONDS = 0.02
#: How long a file that is being written when the work is to end may take.
_WRITING_SECONDS = 0.5


class Keepable(Protocol):
    """A solved ending; `held_bytes` is what its solution takes in memory, 0 when it has been let go."""

    material: Material

    @property
    def held_bytes(self) -> int:
        """Return what the solution takes in memory."""
        ...

    def keep(self, interrupted: Callable[[], bool]) -> None:
        """Pack the solution, keep it and let go of it; raise `Interrupted` when asked to give up."""
        ...


class Keeper:
    """Keeps endings one after the other, on a thread of its own or on that of whoever asks."""

    def __init__(self) -> None:
        self._waiting: list[Keepable] = []
        self._asked: list[Material] = []  # endings a question was about, in the order of the questions
        self._solved: set[Material] = set()
        self._lock = threading.Lock()  # the lists and the thread
        self._at_work: list[Keepable] = []
        self._thread: threading.Thread | None = None
        self._given_up = False

    def add(self, ending: Keepable) -> None:
        """Take in an ending that has been solved."""
        with self._lock:
            self._waiting.append(ending)
            self._solved.add(ending.material)

    def prefer(self, material: Material) -> None:
        """Keep an ending before those that nobody has asked for."""
        with self._lock:
            if material not in self._asked:
                self._asked.append(material)

    def now(self, interrupted: Callable[[], bool]) -> None:
        """Keep all that waits; when `interrupted`, asked before each row, returns True, leave the rest waiting."""
        self._keep_while(lambda: True, interrupted)
        while (thread := self._thread) is not None and thread.is_alive() and not interrupted():
            thread.join(_POLL_SECONDS)

    def behind(self) -> None:
        """Keep all that waits on a thread of its own, and return at once."""
        with self._lock:
            busy = self._thread is not None and self._thread.is_alive()
            if self._waiting and not busy and not self._given_up:
                self._thread = threading.Thread(target=self._work, daemon=True)
                self._thread.start()

    def make_room(self, most_bytes: int) -> None:
        """Keep endings here and now, the oldest first, until no more bytes are held by solutions."""

        def too_many() -> bool:
            with self._lock:
                return sum(ending.held_bytes for ending in (*self._waiting, *self._at_work)) > most_bytes

        self._keep_while(too_many, lambda: False, number=0)

    def finish(self, asked_seconds: float, rest_seconds: float) -> None:
        """Keep what is waiting and give up: at most so long for the endings that were asked for, and for the rest."""
        began = time.monotonic()
        self.behind()
        while (thread := self._thread) is not None and thread.is_alive():
            left = (asked_seconds if self._is_asked_waiting() else rest_seconds) - (time.monotonic() - began)
            if left <= 0:
                break
            thread.join(min(left, _POLL_SECONDS))
        self.give_up()
        if thread is not None:
            thread.join(_WRITING_SECONDS)

    def give_up(self) -> None:
        """Keep nothing any more."""
        self._given_up = True

    def _is_asked_waiting(self) -> bool:
        """Whether an ending asked for is still to be kept, or one that leads to such an ending not solved yet."""
        with self._lock:
            waiting = [ending.material for ending in (*self._waiting, *self._at_work)]
            unsolved = not self._solved.issuperset(self._asked)
            return bool(waiting) and (unsolved or any(material in self._asked for material in waiting))

    def _work(self) -> None:
        self._keep_while(lambda: True, lambda: self._given_up)

    def _keep_while(
        self, wanted: Callable[[], bool], interrupted: Callable[[], bool], number: int | None = None
    ) -> None:
        while not self._given_up and wanted() and (ending := self._take(number)) is not None:
            try:
                ending.keep(interrupted)
            except Interrupted:
                with self._lock:
                    self._waiting.append(ending)
                return
            finally:
                with self._lock:
                    self._at_work.remove(ending)

    def _take(self, number: int | None) -> Keepable | None:
        """Take the ending whose turn it is out of those that wait."""
        with self._lock:
            if not self._waiting:
                if threading.current_thread() is self._thread:
                    self._thread = None
                return None
            if number is None:
                materials = [ending.material for ending in self._waiting]
                number = next((materials.index(asked) for asked in self._asked if asked in materials), -1)
            ending = self._waiting.pop(number)
            self._at_work.append(ending)
            return ending
