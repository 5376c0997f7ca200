"""An engine under test: started, questioned and, when it fails, replaced; every failure becomes a named fault.

Built on the UCI client of the chess library, with a tap on the lines for the times and for what that client
overlooks. Never judges moves beyond their legality.
"""

from __future__ import annotations

import asyncio
import codecs
import logging
import os
import shlex
import subprocess
import sys
import threading
import time
from collections.abc import Coroutine, Mapping
from concurrent.futures import CancelledError
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import chess
import chess.engine

from matebot.assess.lines import is_rubbish
from matebot.assess.results import Fault
from matebot.errors import UserError

_T = TypeVar("_T")
_OWN_NAME = "matebot"
_HANDSHAKE_SECONDS = 15.0
_GOODBYE_SECONDS = 1.0
_PACKAGE_FOLDER = str(Path(__file__).parents[2])

# What the library would print about an engine stands in the report.
logging.getLogger("chess.engine").addHandler(logging.NullHandler())
logging.getLogger("chess.engine").propagate = False


class Unusable(UserError):
    """An engine that cannot be started, or not any more."""


class Tap(chess.engine.UciProtocol):
    """The library's protocol, with a note of the lines that pass.

    Attributes
    ----------
    went, answered : when the last ``go`` was sent and the last ``bestmove`` came, in seconds of a clock of no epoch
    open : questions asked and not yet answered
    answer : the last line that began with ``bestmove``
    """

    def __init__(self) -> None:
        super().__init__()
        self.went = self.answered = 0.0
        self.open = 0
        self.unasked = self.ready = 0
        self.answer = self.last_error = ""
        self.rubbish: list[str] = []
        self._decoders = {fd: codecs.getincrementaldecoder("utf-8")("replace") for fd in (1, 2)}

    def send_line(self, line: str) -> None:
        """Send a line to the engine."""
        if line.startswith("go"):
            self.went = time.perf_counter()
            self.open += 1
        super().send_line(line)

    def pipe_data_received(self, fd: int, data: bytes | str) -> None:
        """Take what the engine wrote; the library drops lines that are no text, and they are wanted here."""
        text = data if isinstance(data, str) else self._decoders[fd].decode(data)
        super().pipe_data_received(fd, text.encode())

    def line_received(self, line: str) -> None:
        """Note a line of the engine before the library acts on it."""
        if line.startswith("bestmove"):
            self.answered, self.answer = time.perf_counter(), line
            self.unasked += self.open == 0
            self.open = max(0, self.open - 1)
        elif line.strip() == "readyok":
            self.ready += 1
        elif is_rubbish(line):
            self.rubbish.append(line)

    def error_line_received(self, line: str) -> None:
        """Keep the last words on the error stream."""
        self.last_error = line.strip() or self.last_error


@dataclass(frozen=True, slots=True)
class Reply:
    """What came back on a question.

    Attributes
    ----------
    move : a legal move, None where a fault of the list ends the game or the game was over
    info : the library's reading of the engine's last report
    faults : what went wrong, without the number of the move
    seconds : from ``go`` to ``bestmove``
    """

    move: chess.Move | None
    info: chess.engine.InfoDict
    faults: tuple[tuple[str, str], ...]
    seconds: float


@dataclass(frozen=True, slots=True)
class Allowance:
    """The limit sent with a question, how long it may take (seconds; None without a time), and the patience after it.

    Attributes
    ----------
    flag : whether exceeding the time loses the game instead of being an overrun
    """

    limit: chess.engine.Limit
    seconds: float | None
    margin_seconds: float
    patience_seconds: float
    flag: bool = False


class Client:
    """One engine process at a time.

    Parameters
    ----------
    player : the name results give it
    command : a command line, or the word "matebot"
    options : UCI options, values as text
    patience_seconds : how long it may stay silent where no limit says otherwise
    """

    def __init__(self, player: str, command: str, options: Mapping[str, str], patience_seconds: float) -> None:
        self.player, self.command, self.options = player, command, dict(options)
        self.patience_seconds = patience_seconds
        self._engine: chess.engine.SimpleEngine | None = None
        self._ended = False
        self._lock = threading.Lock()

    @property
    def tap(self) -> Tap:
        """The protocol of the running process."""
        assert self._engine is not None
        protocol = self._engine.protocol
        assert isinstance(protocol, Tap)
        return protocol

    def start(self) -> Mapping[str, str]:
        """Start the engine unless it runs, and return what it says of itself.

        Raises
        ------
        Unusable
            when it cannot be run, does not speak UCI, dies in the handshake or refuses an option
        """
        if self._engine is None:
            engine = self._opened()
            with self._lock:
                if self._ended:
                    engine.close()
                    raise Unusable(f"expected an engine still wanted, got {self.command!r}")
                self._engine = engine
            self._configure()
        return self.tap.id

    def ask(self, board: chess.Board, allowance: Allowance, game: str, wants_move: bool = True) -> Reply:
        """Ask for a move; faults are returned, not raised.

        Parameters
        ----------
        game : names the game; a new name is announced to the engine
        wants_move : False where the game is over and a move would be a fault

        Raises
        ------
        Unusable
            when the engine cannot be started again after a failure
        """
        self.start()
        assert self._engine is not None
        tap, rubbish, unasked = self.tap, len(self.tap.rubbish), self.tap.unasked
        wait = (allowance.seconds or 0.0) + allowance.patience_seconds
        started = time.perf_counter()
        move, info, faults = None, chess.engine.InfoDict(), []
        try:
            result = self._run(tap.play(board, allowance.limit, game=game, info=chess.engine.INFO_ALL), wait)
            move, info = result.move or None, result.info
        except TimeoutError:
            faults.append(("hang", f"expected a move within {wait:.2f} s, got none"))
        except chess.engine.EngineTerminatedError:
            faults.append(("crash", f"expected a move, got the end of the engine ({self._last_words()})"))
        except chess.engine.EngineError:
            faults.append(("illegal move", f"expected a legal move in {board.fen()!r}, got {tap.answer!r}"))
        if move is None and wants_move and not faults:
            faults.append(("no move", f"expected a move in {board.fen()!r}, got {tap.answer!r}"))
        if move is not None and not wants_move:
            faults.append(("illegal move", f"expected no move in {board.fen()!r}, got {tap.answer!r}"))
        seconds = (tap.answered if tap.answered >= tap.went else time.perf_counter()) - (tap.went or started)
        if faults:
            self.close()
        else:
            faults += _lateness(allowance, seconds)
        faults += _talk(tap, rubbish, unasked)
        return Reply(None if allowance.flag and _fell(faults) else move, info, tuple(faults), seconds)

    def interrupt(self, board: chess.Board, pause_seconds: float) -> Reply:
        """Let the engine think without limit, ask whether it is ready, stop it, and look at what it does."""
        self.start()
        assert self._engine is not None
        tap, rubbish, unasked, ready = self.tap, len(self.tap.rubbish), self.tap.unasked, self.tap.ready
        faults: list[tuple[str, str]] = []
        try:
            analysis = self._run(tap.analysis(board, game="stop"), self.patience_seconds)
            self._call(tap.send_line, "isready")
            time.sleep(pause_seconds)
            if not tap.open:
                faults.append(("early answer", f"expected no move before stop, got {tap.answer!r}"))
            self._call(analysis.stop)
            if not _until(lambda: not tap.open or tap.returncode.done(), self.patience_seconds):
                faults.append(
                    ("ignored stop", f"expected a move within {self.patience_seconds:.2f} s of stop, got none")
                )
            elif not faults:
                faults += _illegal(board, tap.answer)
            if not _until(lambda: tap.ready > ready or tap.returncode.done(), self.patience_seconds):
                faults.append(("not ready", "expected readyok while thinking, got none"))
        except TimeoutError:
            faults.append(("hang", "expected a search to begin, got no readyok"))
        except chess.engine.EngineError:
            pass
        if tap.returncode.done():
            faults = [("crash", f"expected a move after stop, got the end of the engine ({self._last_words()})")]
        if faults:
            self.close()
        faults += _talk(tap, rubbish, unasked)
        return Reply(None, chess.engine.InfoDict(), tuple(faults), tap.answered - tap.went)

    def close(self) -> None:
        """End the process, at once if it does not leave by itself."""
        engine, self._engine = self._engine, None
        if engine is None:
            return
        try:
            quitting = asyncio.run_coroutine_threadsafe(engine.protocol.quit(), engine.protocol.loop)
            quitting.result(0.0 if self._busy(engine) else _GOODBYE_SECONDS)
        except (TimeoutError, CancelledError, chess.engine.EngineError, RuntimeError):
            pass
        engine.close()

    def end(self) -> None:
        """End the process from another thread, for good."""
        with self._lock:
            self._ended = True
            engine = self._engine
        if engine is not None:
            engine.close()

    def _busy(self, engine: chess.engine.SimpleEngine) -> bool:
        return isinstance(engine.protocol, Tap) and engine.protocol.open > 0

    def _opened(self) -> chess.engine.SimpleEngine:
        words, environment = command_words(self.command)
        try:
            return chess.engine.SimpleEngine.popen(
                Tap, words, timeout=_HANDSHAKE_SECONDS, setpgrp=True, stderr=subprocess.PIPE, env=environment
            )
        except OSError as fault:
            raise Unusable(
                f"expected an engine that can be run ({fault.strerror or fault}), got {words[0]!r}"
            ) from None
        except TimeoutError:
            seconds = f"{_HANDSHAKE_SECONDS:.0f} s"
            raise Unusable(f"expected a UCI engine, got no uciok within {seconds} from {self.command!r}") from None
        except chess.engine.EngineTerminatedError as fault:
            raise Unusable(
                f"expected a UCI engine, got one that ends in the handshake ({fault}): {self.command!r}"
            ) from None
        except (chess.engine.EngineError, ValueError) as fault:
            raise Unusable(f"expected a UCI engine, got a broken handshake ({fault}) from {self.command!r}") from None

    def _configure(self) -> None:
        assert self._engine is not None
        try:
            self._run(self.tap.configure(self.options), self.patience_seconds)
            self._run(self.tap.ping(), max(self.patience_seconds, _HANDSHAKE_SECONDS))
        except TimeoutError:
            self.close()
            raise Unusable(f"expected readyok after the options, got none from {self.command!r}") from None
        except chess.engine.EngineTerminatedError:
            words = self._last_words()
            self.close()
            raise Unusable(f"expected readyok after the options, got the end of {self.command!r} ({words})") from None
        except (chess.engine.EngineError, ValueError) as fault:
            self.close()
            raise Unusable(f"expected options {self.command!r} knows ({fault}), got {self.options!r}") from None

    def _run(self, work: Coroutine[Any, Any, _T], seconds: float) -> _T:
        assert self._engine is not None
        if self._engine.protocol.loop.is_closed():
            work.close()
            raise chess.engine.EngineTerminatedError("engine process dead")
        return asyncio.run_coroutine_threadsafe(work, self._engine.protocol.loop).result(seconds)

    def _call(self, function: Any, *arguments: Any) -> None:
        assert self._engine is not None
        self._engine.protocol.loop.call_soon_threadsafe(function, *arguments)

    def _last_words(self) -> str:
        engine = self._engine
        if engine is None:
            return "closed"
        code = engine.transport.get_returncode()
        error = self.tap.last_error
        return f"exit status {code}" + (f", {error!r}" if error else "")


def command_words(command: str) -> tuple[list[str], dict[str, str] | None]:
    """Return the words of a command line and its environment; None for our own.

    Raises
    ------
    UserError
        when the line cannot be split into words
    """
    if command == _OWN_NAME:
        path = os.pathsep.join(filter(None, [_PACKAGE_FOLDER, os.environ.get("PYTHONPATH", "")]))
        return [sys.executable, "-m", _OWN_NAME], {**os.environ, "PYTHONPATH": path}
    try:
        words = shlex.split(command, posix=os.name != "nt")
    except ValueError as fault:
        raise UserError(f"expected a command line ({fault}), got {command!r}") from None
    if not words:
        raise UserError(f"expected a command line, got {command!r}")
    return words, None


def as_faults(found: tuple[tuple[str, str], ...], player: str, move: int) -> tuple[Fault, ...]:
    """Return the faults of a reply with the player and the number of the move."""
    return tuple(Fault(kind, player, move, text) for kind, text in found)


def _fell(faults: list[tuple[str, str]]) -> bool:
    return any(kind == "flag fall" for kind, _ in faults)


def _lateness(allowance: Allowance, seconds: float) -> list[tuple[str, str]]:
    if allowance.seconds is None or seconds <= allowance.seconds + allowance.margin_seconds:
        return []
    kind = "flag fall" if allowance.flag else "time overrun"
    return [(kind, f"expected a move within {allowance.seconds:.3f} s, got one after {seconds:.3f} s")]


def _talk(tap: Tap, rubbish: int, unasked: int) -> list[tuple[str, str]]:
    found = []
    if tap.unasked > unasked:
        found.append(("unasked answer", f"expected one bestmove for each go, got {tap.answer!r} besides"))
    lines = tap.rubbish[rubbish:]
    if lines:
        found.append(("rubbish", f"expected only lines of the protocol, got {len(lines)} others, first {lines[0]!r}"))
    tap.rubbish.clear()
    return found


def _illegal(board: chess.Board, answer: str) -> list[tuple[str, str]]:
    words = answer.split()
    try:
        legal = len(words) > 1 and board.is_legal(chess.Move.from_uci(words[1]))
    except ValueError:
        legal = False
    return [] if legal else [("illegal move", f"expected a legal move in {board.fen()!r}, got {answer!r}")]


def _until(holds: Any, seconds: float) -> bool:
    """Wait until something holds; whether it did."""
    last = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > last:
            return False
        time.sleep(0.005)
    return True
