"""The only owner of standard input and output and of threads: reads lines here, lets a worker do the thinking.

The reader answers ``uci`` and ``isready`` at once, whatever the worker does. Heavy modules are loaded by the worker
when the interface first asks whether the engine is ready, or for a position.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Iterator
from queue import SimpleQueue

from matebot.uci.partnership import Answer, Line, Partner, Report
from matebot.uci.session import Choose, Effect, Forget, Halt, Leave, Place, Send, Session, Think

#: How long the worker may finish what it does when the session ends.
_PATIENCE_SECONDS = 0.8


class _Voice:
    """Writes whole lines; a closed pipe ends the process quietly."""

    def __init__(self) -> None:
        self._out = sys.stdout.buffer

    def say(self, text: str) -> None:
        try:
            self._out.write(text.encode("utf-8", "replace") + b"\n")
            self._out.flush()
        except (OSError, ValueError):
            os._exit(0)


class Conversation:
    """One session over a pair of streams."""

    def __init__(self, settings: dict[str, str | int | bool] | None = None) -> None:
        self._session = Session()
        self._voice = _Voice()
        self._lock = threading.RLock()
        self._work: SimpleQueue[Effect | None] = SimpleQueue()
        self._asked = self._begun = self._halted = 0  # numbers of questions
        self._settings = settings or {}
        self._partner: Partner | None = None
        self._worker = threading.Thread(target=self._serve, daemon=True)

    def run(self) -> int:
        """Read until the end of input or ``quit``; return the exit status."""
        self._worker.start()
        for raw in _lines():
            if not self._carry_out(raw.decode("utf-8", "replace")):
                self._halted = self._asked
                break
        self._work.put(None)
        self._worker.join(_PATIENCE_SECONDS)
        return 0

    def _carry_out(self, line: str) -> bool:
        """Do what a line asks; False when the session is over."""
        with self._lock:
            for effect in self._session.receive(line):
                if isinstance(effect, Send):
                    self._voice.say(effect.text)
                elif isinstance(effect, Halt):
                    self._halted = self._asked
                elif isinstance(effect, Leave):
                    return False
                else:
                    if isinstance(effect, Think):
                        self._asked += 1
                    self._work.put(effect)
        return True

    def _serve(self) -> None:
        while (effect := self._work.get()) is not None:
            try:
                self._do(effect)
            except Exception as fault:
                self._excuse(effect, fault)
            if self._partner is not None and self._work.empty():
                self._partner.rest()

    def _excuse(self, effect: Effect, fault: Exception) -> None:
        """Keep the session alive after a fault of our own, and owe no answer."""
        import traceback

        traceback.print_exception(fault, file=sys.stderr)
        report = Report((f"internal fault, see standard error: {fault!r}",), (_NOTHING,))
        if isinstance(effect, Think):
            self._answered(Answer(None, None, report))
        else:
            self._reported(Report(report.notices))

    def _do(self, effect: Effect) -> None:
        if isinstance(effect, Think):
            self._begun += 1
        partner = self._ready()  # `Warm` asks for no more than this
        if isinstance(effect, Choose):
            self._reported(Report(tuple(partner.set_option(effect.name, effect.value))))
        elif isinstance(effect, Forget):
            partner.new_game()
        elif isinstance(effect, Place):
            refusal = partner.set_position(effect.fen, effect.moves)
            if refusal is not None:
                self._reported(Report((refusal,)))
        elif isinstance(effect, Think):
            number = self._begun
            self._answered(partner.go(effect.question, self._reported, lambda: number <= self._halted))

    def _ready(self) -> Partner:
        if self._partner is None:
            from matebot.partner import MatePartner

            self._partner = MatePartner(self._settings)
        return self._partner

    def _reported(self, report: Report) -> None:
        with self._lock:
            for effect in self._session.reported(report):
                if isinstance(effect, Send):
                    self._voice.say(effect.text)

    def _answered(self, answer: Answer) -> None:
        with self._lock:
            for effect in self._session.answered(answer):
                if isinstance(effect, Send):
                    self._voice.say(effect.text)


_NOTHING = Line(0, None, "cp", 0, None, 0, 0, 0, ())


def _lines() -> Iterator[bytes]:
    """Yield lines ended by CR, LF or both, as they come."""
    rest = b""
    while chunk := os.read(0, 1 << 16):
        rest += chunk.replace(b"\r", b"\n")
        *whole, rest = rest.split(b"\n")
        yield from whole
    if rest:
        yield rest


def _leave(number: int, frame: object) -> None:
    os._exit(0)


def run(settings: dict[str, str | int | bool] | None = None) -> int:
    """Speak UCI on standard input and output until told to quit; return the exit status.

    Parameters
    ----------
    settings : option values to begin with, by option name
    """
    signal.signal(signal.SIGTERM, _leave)
    if sys.stdin.isatty():
        print("matebot speaks UCI here; type quit to end, or run matebot --help", file=sys.stderr)
    else:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    status = Conversation(settings).run()
    sys.stderr.flush()
    os._exit(status)
