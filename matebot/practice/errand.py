"""The way to the clerk: starts the process, writes messages to it and hears what it says. Never waits for it."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from queue import SimpleQueue

Message = tuple[object, ...]
#: More messages than a clerk who works at all ever has before it; they take memory, up to some KiB each.
_MOST_WAITING = 4_000

#: Begins the process with the same modules as this one, wherever it was started from.
_BEGIN = "import sys; sys.path[:] = {path!r}; from matebot.practice.clerk import main; main()"


class Errand:
    """A clerk's process.

    Parameters
    ----------
    tell : takes a line the clerk says, from another thread
    gone : called from another thread where the clerk ends before `finish`

    Raises
    ------
    OSError
        where no process can be started
    """

    def __init__(self, tell: Callable[[str], None], gone: Callable[[], None]) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", _BEGIN.format(path=sys.path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # whoever listens to this process's must not wait for the clerk's end
            start_new_session=True,  # what ends this process, and all that belong to it, leaves the clerk to its work
            creationflags=_standing_back(),
        )
        self._tell, self._gone = tell, gone
        self._finishing = False
        self._messages: SimpleQueue[bytes | None] = SimpleQueue()
        self._hearing = threading.Thread(target=self._hear, daemon=True)
        for thread in (threading.Thread(target=self._write, daemon=True), self._hearing):
            thread.start()

    @property
    def is_alive(self) -> bool:
        """Whether the clerk is still there, and what is sent may reach it."""
        return self._hearing.is_alive()

    def send(self, message: Message) -> None:
        """Send a message of plain data; where far too many wait already, that is the end of the clerk."""
        if self._messages.qsize() >= _MOST_WAITING and not self._finishing:
            self._process.kill()  # which is heard
        elif self.is_alive:
            self._messages.put(json.dumps(message).encode() + b"\n")

    def finish(self, seconds: float) -> None:
        """End the messages, and wait until all is written, but not longer than that; the clerk ends by itself."""
        self._finishing = True
        self._messages.put(None)
        self._hearing.join(seconds)

    def _write(self) -> None:
        assert self._process.stdin is not None
        with suppress(OSError):  # it is gone, which is heard
            while (message := self._messages.get()) is not None:
                self._process.stdin.write(message)
                self._process.stdin.flush()
        with suppress(OSError):
            self._process.stdin.close()

    def _hear(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as said:
            for line in said:
                self._tell(line.decode("utf-8", "replace").rstrip())
        if not self._finishing:
            self._process.wait()
            self._messages.put(None)
            self._gone()


def _standing_back() -> int:
    """Return what makes the process stand back on Windows; elsewhere it does so itself."""
    if sys.platform == "win32":
        return subprocess.BELOW_NORMAL_PRIORITY_CLASS | subprocess.CREATE_NO_WINDOW
    return 0
