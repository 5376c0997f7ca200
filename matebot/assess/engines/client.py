"""An engine under test: started, questioned and, when it fails, replaced; every failure becomes a named fault.

Built on the UCI client of the chess library, with a monitor on the lines for the times and for what that client
overlooks. Never judges moves beyond their legality.
"""

from __future__ import annotations

import asyncio
import subprocess
import threading
import time
from collections.abc import Coroutine, Mapping
from concurrent import futures
from contextlib import suppress
from typing import Any, TypeVar

import chess
import chess.engine

from matebot.assess.engines.command_line import command_words
from matebot.assess.engines.processes import STARTING, closed
from matebot.assess.engines.uci_monitor import UciMonitor, end_engine, shortened
from matebot.assess.judging.moves import Faults, strange, unplayable
from matebot.assess.judging.results import Fault, ends
from matebot.errors import UserError
from matebot.records import dataclass

_T = TypeVar("_T")
_GOODBYE_SECONDS = 1.0
#: So often it is looked whether an engine that does not answer is still there to be asked.
_LOOK_SECONDS = 0.2


class Unusable(UserError):
    """An engine that cannot be started, or not any more."""


@dataclass(frozen=True, slots=True)
class Reply:
    """What came back on a question.

    Attributes
    ----------
    move : a legal move, None where a fault of the list ends the game or the game was over
    info : the library's reading of the engine's last report
    faults : what went wrong, without the number of the move
    seconds : from ``go`` to ``bestmove``
    first : whether it is the first answer of the process in its ending
    """

    move: chess.Move | None
    info: chess.engine.InfoDict
    faults: tuple[tuple[str, str], ...]
    seconds: float
    first: bool = False


@dataclass(frozen=True, slots=True)
class Allowance:
    """The limit sent with a question, how long it may take (seconds; None without a time), and the patience after it.

    Attributes
    ----------
    flag : whether exceeding the time loses the game instead of being an overrun
    """

    limit: chess.engine.Limit
    seconds: float | None
    lateness_seconds: float
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
        self._begun: UciMonitor | None = None
        self._met: set[str] = set()
        self._ended = False
        self._lock = threading.Lock()

    @property
    def monitor(self) -> UciMonitor:
        """The protocol of the running process."""
        assert self._engine is not None
        protocol = self._engine.protocol
        assert isinstance(protocol, UciMonitor)
        return protocol

    def start(self) -> Mapping[str, str]:
        """Start the engine unless it runs, and return what it says of itself.

        Raises
        ------
        Unusable
            when it cannot be run, does not speak UCI, dies in the handshake, refuses an option, or was ended for good
        """
        if self._engine is None:
            engine = None if self._ended or closed() else self._opened()
            with self._lock:
                if engine is None or self._ended:
                    if engine is not None:
                        _kill(engine)
                    raise Unusable(f"expected an engine still wanted, got {self.command!r}")
                self._engine = engine
            self._met.clear()
            self._configure()
        return self.monitor.id

    def ask(
        self, board: chess.Board, allowance: Allowance, game: str, ending: str = "", wants_move: bool = True
    ) -> Reply:
        """Ask for a move; faults are returned, not raised.

        An engine may prepare when it meets an ending: the first answer of a process in each ending is never late,
        though it hangs if it exhausts the patience.

        Parameters
        ----------
        game : names the game; a new name is announced to the engine
        ending : names the ending
        wants_move : False where the game is over and a move would be a fault

        Raises
        ------
        Unusable
            when the engine cannot be started again after a failure
        """
        self.start()
        monitor = self.monitor
        started = time.perf_counter()
        move, info, faults = self._played(board, allowance, game)
        if move is None and wants_move and not faults:
            faults.append(("no move", f"expected a move in {board.fen()!r}, got {monitor.answer!r}"))
        odd = strange(board, monitor.answer, monitor.variation) if move is not None and wants_move else []
        if move is not None and not wants_move:
            faults.append(("illegal move", f"expected no move in {board.fen()!r}, got {monitor.answer!r}"))
        asked = max(monitor.went, started)
        seconds = (monitor.answered if monitor.answered >= asked else time.perf_counter()) - asked
        first = ending not in self._met
        self._met.add(ending)
        if not faults and not first:
            faults = _lateness(allowance, seconds)
        # Also waits for what the engine may have to add to its answer.
        faults = faults or self._ready()
        if ends_game(faults):
            self.close()
            move = None
        return Reply(move, info, (*monitor.talk(), *odd, *faults), seconds, first)

    def _played(
        self, board: chess.Board, allowance: Allowance, game: str
    ) -> tuple[chess.Move | None, chess.engine.InfoDict, Faults]:
        monitor, wait = self.monitor, (allowance.seconds or 0.0) + allowance.patience_seconds
        try:
            result = self._run(monitor.play(board, allowance.limit, game=game, info=chess.engine.INFO_ALL), wait)
        except TimeoutError:
            found = "hang", f"expected a move within {wait:.2f} s, got none"
        except chess.engine.EngineTerminatedError:
            found = "crash", f"expected a move, got the end of the engine ({self._last_words()})"
        except chess.engine.EngineError:
            found = "illegal move", f"expected a legal move in {board.fen()!r}, got {monitor.answer!r}"
        else:
            return result.move or None, result.info, []
        return None, chess.engine.InfoDict(), [found]

    def _ready(self) -> Faults:
        try:
            self._run(self.monitor.ping(), self.patience_seconds)
        except TimeoutError:
            return [("hang", f"expected readyok within {self.patience_seconds:.2f} s of an answer, got none")]
        except chess.engine.EngineTerminatedError:
            return [("crash", f"expected readyok after an answer, got the end of the engine ({self._last_words()})")]
        return []

    def interrupt(self, board: chess.Board, pause_seconds: float) -> Reply:
        """Let the engine think without limit, ask whether it is ready, stop it, and look at what it does."""
        self.start()
        monitor, faults, dead = self.monitor, Faults(), False
        try:
            faults = self._interrupted(board, pause_seconds)
        except TimeoutError:
            faults = [("hang", "expected a search to begin, got no readyok")]
        except chess.engine.EngineError as fault:
            dead = isinstance(fault, chess.engine.EngineTerminatedError)
        if dead or monitor.returncode.done():
            faults = [("crash", f"expected a move after stop, got the end of the engine ({self._last_words()})")]
        if faults:
            self.close()
        return Reply(
            None, chess.engine.InfoDict(), (*monitor.talk(), *faults), max(0.0, monitor.answered - monitor.went)
        )

    def _interrupted(self, board: chess.Board, pause_seconds: float) -> Faults:
        monitor, ready, patience = self.monitor, self.monitor.ready, self.patience_seconds
        analysis = self._run(monitor.analysis(board, game="stop"), patience)
        self._call(monitor.send_line, "isready")
        # An engine that takes its time to begin has not answered early yet.
        _until(lambda: monitor.ready >= ready + 2 or not monitor.open or monitor.returncode.done(), patience)
        time.sleep(pause_seconds)
        if not monitor.open:
            return [("early answer", f"expected no move before stop, got {monitor.answer!r}")]
        self._call(analysis.stop)
        if not _until(lambda: not monitor.open or monitor.returncode.done(), patience):
            return [("ignored stop", f"expected a move within {patience:.2f} s of stop, got none")]
        # The library's question after a new game is answered too.
        if not _until(lambda: monitor.ready >= ready + 2 or monitor.returncode.done(), patience):
            return [("not ready", "expected readyok while thinking, got none")]
        return unplayable(board, monitor.answer) or strange(board, monitor.answer, monitor.variation)

    def close(self) -> None:
        """End the process, at once if it does not leave by itself."""
        engine, self._engine = self._engine, None
        if engine is None:
            return
        # The library's own farewell may be left undone when the process ends at the same moment.
        if not self._busy(engine):
            with suppress(RuntimeError, TimeoutError):
                engine.protocol.loop.call_soon_threadsafe(engine.protocol.send_line, "quit")
                engine.returncode.result(_GOODBYE_SECONDS)
        _kill(engine)

    def end(self) -> None:
        """End the process from another thread, for good."""
        with self._lock:
            self._ended = True
            engine, begun = self._engine, self._begun
        if engine is not None:
            _kill(engine)
        elif begun is not None:
            with suppress(RuntimeError):  # the loop has ended with the process
                begun.loop.call_soon_threadsafe(begun.give_up)

    def _busy(self, engine: chess.engine.SimpleEngine) -> bool:
        return isinstance(engine.protocol, UciMonitor) and engine.protocol.open > 0

    def _opened(self) -> chess.engine.SimpleEngine:
        words, environment = command_words(self.command)
        started, self._begun = time.monotonic(), None
        try:
            return chess.engine.SimpleEngine.popen(
                self._own_monitor(), words, timeout=None, stderr=subprocess.PIPE, env=environment, **STARTING
            )
        except OSError as fault:
            raise Unusable(
                f"expected an engine that can be run ({fault.strerror or fault}), got {words[0]!r}"
            ) from None
        except chess.engine.EngineTerminatedError as fault:
            found = f"one that ends in the handshake ({fault}{self._complaint()})"
            if time.monotonic() - started >= UciMonitor.handshake_seconds:
                found = f"no uciok within {UciMonitor.handshake_seconds:.0f} s{self._complaint()}"
            raise Unusable(f"expected a UCI engine, got {found} from {self.command!r}") from None
        except (chess.engine.EngineError, ValueError) as fault:
            reason = shortened(str(fault))
            raise Unusable(f"expected a UCI engine, got a broken handshake ({reason}) from {self.command!r}") from None

    def _own_monitor(self) -> type[UciMonitor]:
        """Return a monitor this client knows from the beginning of the handshake, and that ends when it does."""
        client = self

        class OwnMonitor(UciMonitor):
            def connection_made(self, transport: asyncio.BaseTransport) -> None:
                super().connection_made(transport)
                with client._lock:
                    client._begun, unwanted = self, client._ended
                if unwanted:
                    self.give_up()

        return OwnMonitor

    def _complaint(self) -> str:
        error = self._begun.last_error if self._begun is not None else ""
        return f", {error!r}" if error else ""

    def _configure(self) -> None:
        assert self._engine is not None
        try:
            self._run(self.monitor.configure(self.options), self.patience_seconds)
            self._run(self.monitor.ping(), max(self.patience_seconds, UciMonitor.handshake_seconds))
        except TimeoutError:
            self.close()
            raise Unusable(f"expected readyok after the options, got none from {self.command!r}") from None
        except chess.engine.EngineTerminatedError:
            words = self._last_words()
            self.close()
            raise Unusable(f"expected readyok after the options, got the end of {self.command!r} ({words})") from None
        except (chess.engine.EngineError, ValueError) as fault:
            self.close()
            reason = shortened(str(fault))
            raise Unusable(f"expected options {self.command!r} knows ({reason}), got {self.options!r}") from None

    def _run(self, work: Coroutine[Any, Any, _T], seconds: float) -> _T:
        assert self._engine is not None
        loop = self._engine.protocol.loop
        try:
            doing = asyncio.run_coroutine_threadsafe(work, loop)
        except RuntimeError:  # the loop has ended with the process
            work.close()
            raise chess.engine.EngineTerminatedError("engine process dead") from None
        due = time.monotonic() + seconds
        while not doing.done():
            left = due - time.monotonic()
            futures.wait([doing], max(min(left, _LOOK_SECONDS), 0.0))
            if loop.is_closed() and not doing.done():
                work.close()  # it was handed over in the last moment of the loop, which never began it
                raise chess.engine.EngineTerminatedError("engine process dead")
            if left <= 0:
                break
        try:
            return doing.result(0)
        except futures.CancelledError:
            raise chess.engine.EngineTerminatedError("engine process dead") from None

    def _call(self, function: Any, *arguments: Any) -> None:
        assert self._engine is not None
        try:
            self._engine.protocol.loop.call_soon_threadsafe(function, *arguments)
        except RuntimeError:  # the loop has ended with the process
            raise chess.engine.EngineTerminatedError("engine process dead") from None

    def _last_words(self) -> str:
        engine = self._engine
        if engine is None:
            return "closed"
        code = engine.transport.get_returncode()
        error = self.monitor.last_error
        return f"exit status {code}" + (f", {error!r}" if error else "")


def as_faults(found: tuple[tuple[str, str], ...], player: str, move: int) -> tuple[Fault, ...]:
    """Return the faults of a reply with the player and the number of the move."""
    return tuple(Fault(kind, player, move, text) for kind, text in found)


def ends_game(found: Faults) -> bool:
    """Whether one of the faults of a reply leaves it without a valid move."""
    return ends(as_faults(tuple(found), "", 0))


def _kill(engine: chess.engine.SimpleEngine) -> None:
    """End a process and wait until it has gone, or the system would keep its remains."""

    def kill() -> None:
        if engine.transport.get_returncode() is None:
            end_engine(engine.transport)

    with suppress(RuntimeError):  # the loop has ended with the process
        engine.protocol.loop.call_soon_threadsafe(kill)
        with suppress(TimeoutError):
            engine.returncode.result(_GOODBYE_SECONDS)
    engine.close()


def _lateness(allowance: Allowance, seconds: float) -> Faults:
    if allowance.seconds is None or seconds <= allowance.seconds + allowance.lateness_seconds:
        return []
    kind = "flag fall" if allowance.flag else "time overrun"
    return [(kind, f"expected a move within {allowance.seconds:.3f} s, got one after {seconds:.3f} s")]


def _until(holds: Any, seconds: float) -> bool:
    """Wait until something holds; whether it did."""
    last = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > last:
            return False
        time.sleep(0.005)
    return True
