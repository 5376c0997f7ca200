"""Waiting in which no signal is lost.

Python runs the handler of a signal between two steps of the program, so one that comes just before the program goes
to sleep would wait for whatever ends that sleep. But the system can be told to leave a byte for each signal at once
(`signal.set_wakeup_fd`), and who waits for that byte too is woken by it, however early it came.
"""

from __future__ import annotations

import os
import select
import signal
import sys

_MANY_BYTES = 4096
#: Where the bytes for signals are found; opened when somebody waits for the first time.
_bell: int | None = None


def until_readable(descriptor: int) -> None:
    """Wait in the main thread until a file or a pipe can be read or has ended; signals are taken meanwhile.

    On Windows, where neither can be waited for, it returns at once.

    Raises
    ------
    OSError
        when there is no such file or pipe
    """
    if sys.platform == "win32":
        return
    bell = _opened()
    ready: list[int] = []
    while descriptor not in ready:
        ready, _, _ = select.select([descriptor, bell], [], [])
        if bell in ready:
            os.read(bell, _MANY_BYTES)


def _opened() -> int:
    global _bell
    if _bell is None:
        _bell, rung = os.pipe()
        os.set_blocking(rung, False)
        signal.set_wakeup_fd(rung, warn_on_full_buffer=False)
    return _bell
