"""The only owner of standard input and output and of threads: reads lines here, lets a worker do the thinking.

Three threads, so that nobody waits for somebody slower: the main thread reads, the worker thinks, and the writer may
be kept waiting by an interface that does not read. Heavy modules are loaded by the worker when the interface first
asks whether the engine is ready, or for a position. Never decides what is said.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from queue import SimpleQueue
from typing import NoReturn

from matebot.uci.pace import patience_seconds
from matebot.uci.partnership import Answer, Line, Partner, Report, Watch
from matebot.uci.session import (
    Choose,
    Effect,
    Forget,
    Halt,
    Leave,
    Place,
    RunClock,
    Send,
    Session,
    Think,
    Warm,
)
from matebot.wakeful import until_readable

_INPUT, _OUTPUT, _LOG = 0, 1, 2
_CHUNK_BYTES = 1 << 16
#: How long an answer at once may take at the end of the session, and how long the tidying up.
_HURRY_SECONDS, _TIDYING_SECONDS = 1.0, 0.1
#: How long the partner may then put away what is worth keeping; and from the end on, where a question was still open.
_KEEPING_SECONDS, _LEAVING_SECONDS = 3.0, 20.0
#: When no line has been taken for so long, nobody reads any more.
_READING_SECONDS = 1.0
#: How long the writer is given to write an answer before anything else is done.
_TURN_SECONDS = 0.01
_NOTHING = Line(0, None, "cp", 0, None, 0, 0, 0, ())


class _Voice:
    """Writes whole lines in order, on a thread of its own; a closed pipe ends the process quietly."""

    def __init__(self) -> None:
        self._lines: SimpleQueue[str | None] = SimpleQueue()
        self._written = 0  # lines
        self._said = 0  # lines
        self._turn = threading.Condition()
        self._thread = threading.Thread(target=self._write, daemon=True)
        self._thread.start()

    def say(self, text: str) -> None:
        self._said += 1
        self._lines.put(text)

    def let_out(self) -> None:
        """Wait until what has been said is written, which takes a turn of its thread, but not for a slow reader."""
        with self._turn:
            self._turn.wait_for(lambda: self._written >= self._said, _TURN_SECONDS)

    def finish(self) -> None:
        """Write what has been said, however slowly it is read, unless nobody reads it."""
        self._lines.put(None)
        before = -1
        while self._thread.is_alive() and self._written != before:
            before = self._written
            self._thread.join(_READING_SECONDS)

    def _write(self) -> None:
        while (text := self._lines.get()) is not None:
            rest = memoryview(text.encode("utf-8", "replace") + b"\n")
            try:
                while rest:
                    rest = rest[os.write(_OUTPUT, rest) :]
            except OSError:
                os._exit(0)
            with self._turn:
                self._written += 1
                self._turn.notify_all()


@dataclass(slots=True)
class _Wanted:
    """What the interface has said of a question so far, see `Watch`, and how long its answer is worth waiting for."""

    stopped: bool
    untimed: bool
    asked_at: float
    patience_seconds: float


class Conversation:
    """One session over the standard streams.

    Parameters
    ----------
    settings : option values to begin with, by option name
    """

    def __init__(self, settings: dict[str, str | int | bool] | None = None) -> None:
        self._session = Session()
        self._voice = _Voice()
        self._lock = threading.RLock()  # the session, and the order of what it says
        self._work: SimpleQueue[Effect | None] = SimpleQueue()
        self._wanted: dict[int, _Wanted] = {}  # by number of the question
        self._free_since = 0.0  # when the last question was answered
        self._closing = False  # no limit of time holds any more
        self._over = False  # nothing more is said
        self._hurried = False  # whether the end of the session is not waited for
        self._keeping_seconds, self._leave_at = _KEEPING_SECONDS, 0.0  # see `_seconds_to_keep`
        self._settings = settings
        self._partner: Partner | None = None
        self._all_done = threading.Event()  # the worker has done all it was told
        self._worker = threading.Thread(target=self._serve, daemon=True)

    def run(self) -> None:
        """Converse until the end of input or ``quit``."""
        self._worker.start()
        try:
            for raw in lines(iter(_read, b"")):
                if not self._carry_out(self._session.receive, raw.decode("utf-8", "replace")):
                    break
            else:
                self._carry_out(self._session.closed)
            self._answer_what_is_open()
        except _Terminated:
            pass
        self._over = True
        self._halt(tuple(self._wanted))
        self._work.put(None)
        self._worker.join(_TIDYING_SECONDS)
        self._voice.finish()

    def _answer_what_is_open(self) -> None:
        """Let the worker do what it has been told: in full at the end of input, for some seconds after ``quit``."""
        open_, ended = [*self._wanted.values()], time.monotonic()  # the worker may answer meanwhile
        if any(wanted.stopped for wanted in open_):
            self._keeping_seconds = _HURRY_SECONDS
        elif open_:
            self._leave_at = ended + _LEAVING_SECONDS
        self._closing = True
        self._work.put(None)
        self._all_done.wait(max((wanted.patience_seconds for wanted in open_), default=0) if self._hurried else None)
        self._halt(tuple(self._wanted))
        if self._all_done.wait(_HURRY_SECONDS):  # however late the answer was, what stands is kept
            self._worker.join(self._seconds_to_keep() + _HURRY_SECONDS)
        self._carry_out(self._session.broken_off)

    def _seconds_to_keep(self) -> float:
        """Return how long the partner may put away what is worth keeping."""
        return max(self._keeping_seconds, self._leave_at - time.monotonic())

    def _halt(self, numbers: tuple[int, ...]) -> None:
        for number in numbers:
            wanted = self._wanted.get(number)  # the worker may have answered meanwhile
            if wanted is not None:
                wanted.stopped = True

    def _carry_out(self, step: Callable[..., list[Effect]], *details: object) -> bool:
        """Take a step of the session and do what follows from it; False when the session is over."""
        with self._lock:
            for effect in step(*details):
                if isinstance(effect, Send):
                    if not self._over:
                        self._voice.say(effect.text)
                elif isinstance(effect, Halt):
                    self._halt(effect.numbers)
                elif isinstance(effect, RunClock):
                    for number in effect.numbers:
                        self._wanted[number].untimed = False
                        self._wanted[number].asked_at = time.monotonic()
                elif isinstance(effect, Leave):
                    self._hurried = effect.hurried
                    return False
                else:
                    if isinstance(effect, Think):
                        question = effect.question
                        self._wanted[effect.number] = _Wanted(
                            False, question.ponder, time.monotonic(), patience_seconds(question)
                        )
                    self._work.put(effect)
        return True

    def _serve(self) -> None:
        while (effect := self._work.get()) is not None:
            try:
                self._do(effect)
            except Exception as fault:
                self._excuse(effect, fault)
            self._rest()
        self._all_done.set()
        self._finish()

    def _finish(self) -> None:
        try:
            if self._partner is not None and not self._over:
                self._partner.finish(self._seconds_to_keep())
        except Exception as fault:
            log(_trace(fault))

    def _rest(self) -> None:
        """Leave the partner to itself while there is nothing to do."""
        try:
            if self._partner is not None and self._work.empty():
                self._partner.rest(lambda: not self._work.empty())
        except Exception as fault:
            log(_trace(fault))

    def _do(self, effect: Effect) -> None:
        partner = self._ready()
        if isinstance(effect, Warm):
            self._carry_out(self._session.warmed)
        elif isinstance(effect, Choose):
            self._report(Report(tuple(partner.set_option(effect.name, effect.value))))
        elif isinstance(effect, Forget):
            partner.new_game()
        elif isinstance(effect, Place):
            refusal = partner.set_position(effect.fen, effect.moves)
            if refusal is not None:
                self._report(Report((refusal,)))
        elif isinstance(effect, Think):
            with _garbage_left():
                self._answered(effect, partner.go(effect.question, self._report, self._watch(effect)))
                self._voice.let_out()

    def _watch(self, effect: Think) -> Watch:
        """Return what the partner asks while it thinks; time counts from its turn at the earliest."""
        wanted = self._wanted[effect.number]
        wanted.asked_at = max(wanted.asked_at, self._free_since)
        return Watch(lambda: wanted.stopped, lambda: wanted.untimed or self._closing, lambda: wanted.asked_at)

    def _answered(self, effect: Think, answer: Answer) -> None:
        self._carry_out(self._session.answered, answer)
        self._free_since = time.monotonic()
        self._wanted.pop(effect.number, None)

    def _excuse(self, effect: Effect, fault: Exception) -> None:
        """Keep the session alive after a fault of our own, and owe no answer."""
        log(_trace(fault))
        sentence = f"internal fault, see standard error: {fault!r}"
        if isinstance(effect, Think):
            self._answered(effect, Answer(None, None, Report((sentence,), (_NOTHING,))))
            return
        self._report(Report((sentence,)))
        if isinstance(effect, Warm):
            self._carry_out(self._session.warmed)

    def _report(self, report: Report) -> None:
        self._carry_out(self._session.reported, report)

    def _ready(self) -> Partner:
        if self._partner is None:
            from matebot.partner import MatePartner

            self._partner = MatePartner(self._settings)
            gc.freeze()  # the modules stay to the end
        return self._partner


@contextmanager
def _garbage_left() -> Iterator[None]:
    """Look for no garbage before the answer is out: that took up to ten times as long as the answer."""
    looked_for = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looked_for:
            gc.enable()


class _Terminated(BaseException):
    """The system asked the process to end; raised wherever the main thread is."""


def _read() -> bytes:
    """Return what has come in, nothing at the end of input; a lost terminal is an end too."""
    try:
        until_readable(_INPUT)
        return os.read(_INPUT, _CHUNK_BYTES)
    except OSError:
        return b""


def lines(chunks: Iterable[bytes]) -> Iterator[bytes]:
    """Yield lines ended by CR, LF or both, as they come; each byte is looked at once, however long the line."""
    pending: list[bytes] = []
    for chunk in chunks:
        *ends, rest = chunk.replace(b"\r", b"\n").split(b"\n")
        for end in ends:
            yield b"".join((*pending, end))
            pending.clear()
        pending.append(rest)
    yield b"".join(pending)


def log(text: str) -> None:
    """Write lines to standard error, if anybody listens there."""
    try:
        os.write(_LOG, text.rstrip().encode("utf-8", "replace") + b"\n")
    except OSError:
        return


def _trace(fault: BaseException) -> str:
    import traceback

    return "".join(traceback.format_exception(fault))


def _terminate(number: int, frame: object) -> None:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    raise _Terminated


def _interrupt(number: int, frame: object) -> None:
    os._exit(128 + number)


def _own_streams() -> None:
    """Make sure that the three standard streams are there and that nothing but the voice reaches the output."""
    for stream in (_INPUT, _OUTPUT, _LOG):
        try:
            os.fstat(stream)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest free number, which is this one
    sys.stdout = sys.stderr


def run(settings: dict[str, str | int | bool] | None = None) -> NoReturn:
    """Speak UCI on standard input and output until told to quit, then end the process with status 0; never returns.

    Parameters
    ----------
    settings : option values to begin with, by option name
    """
    _own_streams()
    signal.signal(signal.SIGTERM, _terminate)
    if os.isatty(_INPUT):
        signal.signal(signal.SIGINT, _interrupt)
        log("matebot speaks UCI here; type quit to end, or run matebot --help")
    else:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    status = 0
    try:
        Conversation(settings).run()
    except _Terminated:
        pass
    except BaseException as fault:
        log(_trace(fault))
        status = 1
    os._exit(status)  # a worker deep in a solution is not waited for
