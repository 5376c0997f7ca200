"""Interruptions: signals that ask for the end, taken where nothing is half done.

Before the first engine is started an interruption is raised at once. From then on it is only noted, and the thread
that waits for engines looks for it, so none falls between starting an engine and remembering it, or upon the closing
of engines and the writing of reports. Whoever insists, with the third signal, is obeyed at once.
"""

from __future__ import annotations

import os
import signal
from contextlib import suppress
from types import FrameType, TracebackType
from typing import Any, Self

from matebot.assess.engines.processes import end_every_engine

STATUS = 130
#: By hand, by build servers, and by a terminal that is closed; the last is not known everywhere.
_SIGNALS = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]
_INSISTING = 3


class Interruption:
    """Takes the signals while it is entered; in another thread than the main one there are none to take.

    After an interruption it goes on taking them: the process is about to end, and must not be caught out at that.
    """

    def __init__(self) -> None:
        self._count = 0
        self._noted_only = False
        self._earlier: dict[int, Any] = {}

    def __enter__(self) -> Self:
        with suppress(ValueError):  # not in the main thread
            for number in _SIGNALS:
                # What is ignored stays so: the program was started to outlive its terminal, or in the background.
                if signal.getsignal(number) is not signal.SIG_IGN:
                    self._earlier[number] = signal.signal(number, self._take)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        if not self._count:
            for number, handler in self._earlier.items():
                signal.signal(number, handler)

    def note_only(self) -> None:
        """From now on only note interruptions; raise one that has been noted already."""
        self._noted_only = True
        self.check()

    def check(self) -> None:
        """Raise an interruption that has been noted.

        Raises
        ------
        KeyboardInterrupt
            when there was one
        """
        if self._count:
            raise KeyboardInterrupt

    def _take(self, number: int, frame: FrameType | None) -> None:
        self._count += 1
        if self._count >= _INSISTING:
            end_every_engine()
            os._exit(STATUS)
        if self._count == 1 and not self._noted_only:
            raise KeyboardInterrupt
