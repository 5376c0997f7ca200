"""The processes of engines: each leads a session of its own, and is ended together with all that is still in it.

What leaves the session by itself is out of reach. Where there are no sessions, the tree below the engine stands for it.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterable
from contextlib import suppress
from typing import Any

#: How the system is asked to start an engine.
STARTING: dict[str, Any] = {"setpgrp": True} if sys.platform == "win32" else {"start_new_session": True}
#: Members that are ended may have started others just before; nobody begets so many generations in between.
_ROUNDS = 50
_leaders: set[int] = set()
_closed = False


def closed() -> bool:
    """Whether all engines have been ended, so that none may be started again for having died of it."""
    return _closed


def started(leader: int) -> None:
    """Remember an engine that has been started, for `end_every_engine`."""
    import psutil  # noqa: F401  # loaded before a signal may ask for it

    _leaders.add(leader)


def end_session(leader: int) -> None:
    """End an engine and whatever is in its session; the system keeps its remains until they are asked for."""
    ended: set[int] = set()
    for _ in range(_ROUNDS):
        # A process that has been told to end begets no more, so none of its making is missed in the next round.
        left = _members(leader) - ended
        if not left:
            break
        _end(left)
        ended |= left
    _leaders.discard(leader)


def end_every_engine() -> None:
    """End all engines, those that were being started included; for the last moment of this process."""
    global _closed
    import psutil

    _closed = True
    for leader in tuple(_leaders):
        end_session(leader)
    with suppress(psutil.Error):
        for child in psutil.Process().children():
            end_session(child.pid)
            _end([child.pid])


def _members(leader: int) -> set[int]:
    """Return the processes in a session that have not ended yet."""
    import psutil

    if sys.platform == "win32":
        try:
            engine = psutil.Process(leader)
            return {leader, *(child.pid for child in engine.children(recursive=True))}
        except psutil.Error:
            return set()
    return {pid for pid in psutil.pids() if _session(pid) == leader and not _has_ended(pid)}


def _session(pid: int) -> int | None:
    with suppress(OSError):
        return os.getsid(pid)
    return None


def _has_ended(pid: int) -> bool:
    """Whether a process has ended, though something of it may still be listed."""
    import psutil

    try:
        return bool(psutil.Process(pid).status() == psutil.STATUS_ZOMBIE)
    except psutil.NoSuchProcess:
        return True
    except psutil.Error:
        return False


def _end(pids: Iterable[int]) -> None:
    for pid in pids:
        with suppress(OSError):
            os.kill(pid, signal.SIGTERM if sys.platform == "win32" else signal.SIGKILL)
