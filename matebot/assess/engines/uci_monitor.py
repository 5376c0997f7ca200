"""The lines between the chess library's UCI client and an engine: their times, and what that client overlooks."""

from __future__ import annotations

import asyncio
import codecs
import logging
import time
from contextlib import suppress
from typing import ClassVar

import chess.engine

from matebot.assess.engines.processes import end_session, started
from matebot.assess.judging.lines import is_rubbish

# What the library would note about an engine stands in the report.
logging.getLogger("chess.engine").setLevel(logging.CRITICAL + 1)


#: Characters of an engine's line that are kept, and the most bytes that are read of one.
_KEPT = 200
_LONGEST_LINE = 1 << 16
#: How long the last lines of a process that has ended may take to arrive.
_LAST_WORDS_SECONDS = 0.5


def shortened(line: str) -> str:
    """Return a line, where it is very long only its beginning, marked as cut."""
    return line if len(line) <= _KEPT else f"{line[:_KEPT]}... (cut)"


def end_engine(transport: asyncio.SubprocessTransport) -> None:
    """End an engine and what it has started itself."""
    pid = transport.get_pid()
    if pid is not None:
        end_session(pid)
    with suppress(ProcessLookupError):
        transport.kill()


class UciMonitor(chess.engine.UciProtocol):
    """The library's protocol, with a note of the lines that pass.

    Attributes
    ----------
    went, answered : when the last ``go`` was sent and the last ``bestmove`` came, in seconds of a clock of no epoch
    open : questions asked and not yet answered
    ready : how often the engine has said that it is ready
    answer : the last line that began with ``bestmove``
    variation : the last line with a variation since the last ``go``, "" without one
    last_error : the last line on the error stream
    handshake_seconds : how long an engine may take to say ``uciok``
    """

    handshake_seconds: ClassVar[float] = 15.0

    def __init__(self) -> None:
        super().__init__()
        self.went = self.answered = 0.0
        self.open = self.ready = 0
        self.answer = self.variation = self.last_error = ""
        # What the library cannot handle shows as a missing answer, and no report is printed about it.
        self.loop.set_exception_handler(lambda loop, context: None)
        #: How many there were since they were last told, and the first.
        self._unasked = self._rubbish = (0, "")
        self._decoders = {fd: codecs.getincrementaldecoder("utf-8")("replace") for fd in (1, 2)}

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Begin, and end a process that does not finish the handshake; ended by itself it would not be waited for."""
        super().connection_made(transport)
        if isinstance(transport, asyncio.SubprocessTransport) and (pid := transport.get_pid()) is not None:
            started(pid)
        self.loop.call_later(self.handshake_seconds, self.give_up)

    def process_exited(self) -> None:
        """End what the engine leaves behind; what has left its session may hold the pipes, but not for long."""
        super().process_exited()
        if isinstance(self.transport, asyncio.SubprocessTransport):
            end_engine(self.transport)
            self.loop.call_later(_LAST_WORDS_SECONDS, self.transport.close)

    def connection_lost(self, exc: Exception | None) -> None:
        """Take a last word without an end of line before the end."""
        self.error_line_received(self.buffer[2].decode("utf-8", "replace"))
        super().connection_lost(exc)

    def send_line(self, line: str) -> None:
        """Send a line to the engine."""
        if line.startswith("go"):
            self.went = time.perf_counter()
            self.open += 1
            self.variation = ""
        super().send_line(line)

    def pipe_data_received(self, fd: int, data: bytes | str) -> None:
        """Take what the engine wrote; the library drops lines that are no text, and they are wanted here."""
        text = data if isinstance(data, str) else self._decoders[fd].decode(data)
        super().pipe_data_received(fd, text.encode())
        del self.buffer[fd][_LONGEST_LINE:]  # a line that does not end would fill the memory

    def line_received(self, line: str) -> None:
        """Note a line of the engine before the library acts on it."""
        if line.startswith("bestmove"):
            self._answered(line)
        elif line.strip() == "readyok":
            self.ready += 1
        elif self.initialized and is_rubbish(line):
            self._rubbish = _one_more(self._rubbish, line)
        elif " pv " in line:
            self.variation = line

    def error_line_received(self, line: str) -> None:
        """Keep the last words on the error stream."""
        self.last_error = shortened(line.strip()) or self.last_error

    def talk(self) -> list[tuple[str, str]]:
        """Return the faults of talking since the last call: answers nobody asked for, lines nobody understands."""
        (unasked, besides), self._unasked = self._unasked, (0, "")
        (rubbish, first), self._rubbish = self._rubbish, (0, "")
        found = []
        if unasked:
            found.append(("unasked answer", f"expected one bestmove for each go, got {besides!r} besides"))
        if rubbish:
            text = f"expected lines as the protocol has them, got {rubbish} broken ones, first {first!r}"
            found.append(("rubbish", text))
        return found

    def give_up(self) -> None:
        """End the engine unless it has finished the handshake."""
        if not self.initialized and self.transport is not None and not self.returncode.done():
            end_engine(self.transport)

    def _answered(self, line: str) -> None:
        if self.open:
            self.answered, self.answer = time.perf_counter(), shortened(line)
            self.open -= 1
        else:
            self._unasked = _one_more(self._unasked, line)


def _one_more(noted: tuple[int, str], line: str) -> tuple[int, str]:
    """Count a line and keep the first; an engine may print more than memory holds."""
    count, first = noted
    return count + 1, first if count else shortened(line)
