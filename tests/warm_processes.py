"""A Python whose processes have everything imported that sessions and commands import: it is forked, not started.

`warm_python` returns what stands for ``sys.executable`` in a command line. It is a small program that hands its
streams, arguments, folder and environment to a starter, which forks; it passes signals on and ends as that process
ends, and the process ends with it. What a process has to find out while it starts must be asked of ``sys.executable``,
what becomes of it while it is taken apart as well, and so is what the starter does not know: other options of the
interpreter, and an environment that it reads itself.
"""

from __future__ import annotations

import atexit
import gc
import marshal
import os
import runpy
import selectors
import shutil
import signal
import socket
import stat
import subprocess
import sys
import tempfile
import threading
from contextlib import suppress
from functools import cache
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from pkgutil import walk_packages
from types import ModuleType
from typing import Any

ROOT = Path(__file__).parents[1]
#: What runs when it is imported, and what is imported, slowly, with five men only.
_NOT_IMPORTED, _SLOW = "matebot.__main__", "numba"
_IMPORTED = ("chess.engine", "chess.pgn", "fsrs", "psutil", "sqlite3")
_PASSED_ON = [number for name in ("SIGHUP", "SIGINT", "SIGTERM") if (number := getattr(signal, name, None)) is not None]

#: The program in the place of an interpreter; without the site and what else it does not need, it starts at once.
_RELAY = """#!{python} -IS
import _signal, _socket, marshal, os, sys
_signal.pthread_sigmask(_signal.SIG_BLOCK, {signals})
def fresh():
    _signal.pthread_sigmask(_signal.SIG_UNBLOCK, {signals})
    os.execv({python!r}, [{python!r}, *sys.argv[1:]])
line = _socket.socket(_socket.AF_UNIX, _socket.SOCK_STREAM)
ignored = [number for number in {signals} if _signal.getsignal(number) == _signal.SIG_IGN]
asked = marshal.dumps(([os.fsencode(word) for word in sys.argv[1:]], os.getcwdb(), dict(os.environb), ignored))
streams = b"".join(number.to_bytes(4, sys.byteorder) for number in range(3))
try:
    line.connect({address!r})
    line.sendmsg([len(asked).to_bytes(8, "big")], [(_socket.SOL_SOCKET, _socket.SCM_RIGHTS, streams)])
    line.sendall(asked)
    process = int(line.recv(20))
except (OSError, ValueError):
    fresh()
if not process:
    fresh()
for number in range(3):
    os.close(number)
def pass_on(number, frame):
    os.kill(process, number)
for number in {signals}:
    if number not in ignored:
        _signal.signal(number, pass_on)
_signal.pthread_sigmask(_signal.SIG_UNBLOCK, {signals})
status = int(line.recv(20) or b"255")
if status < 0:
    if status != -_signal.SIGKILL:
        _signal.signal(-status, _signal.SIG_DFL)
    os.kill(os.getpid(), -status)
os._exit(status)
"""


#: Processes that fork for this one, and stay when a test ends all others.
STARTERS = set[int]()


@cache
def warm_python() -> str:
    """Return the program that stands for ``sys.executable``, which is returned where processes cannot be forked."""
    if sys.platform != "linux" or "COVERAGE_PROCESS_START" in os.environ:
        return sys.executable
    folder = Path(tempfile.mkdtemp(prefix="warm"))
    relay, address = folder / "python", folder / "starter"
    relay.write_text(_RELAY.format(python=sys.executable, address=str(address), signals=[*map(int, _PASSED_ON)]))
    relay.chmod(stat.S_IRWXU)
    starter = subprocess.Popen(
        [sys.executable, "-m", "tests.warm_processes", str(address)],
        cwd=ROOT,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "PYTHONUNBUFFERED": ""},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    STARTERS.add(starter.pid)
    assert starter.stdin is not None
    assert starter.stdout is not None

    def leave() -> None:
        with suppress(OSError):
            starter.communicate()
        shutil.rmtree(folder, ignore_errors=True)

    atexit.register(leave)
    assert starter.stdout.readline() == b"ready\n"
    return str(relay)


class Starter:
    """Forks for whoever asks, until its own input ends; in a process forked, `serve` returns what is to be run."""

    def __init__(self, address: str) -> None:
        self._read_by_python = _read_by_python(dict(os.environb))
        self._looking = selectors.DefaultSelector()
        self._listening = socket.socket(socket.AF_UNIX)
        self._listening.bind(address)
        self._listening.listen(64)
        self._ended, self._told = os.pipe()
        os.set_blocking(self._ended, False)
        os.set_blocking(self._told, False)
        signal.set_wakeup_fd(self._told, warn_on_full_buffer=False)
        signal.signal(signal.SIGCHLD, lambda *_: None)
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        self._lines: dict[int, socket.socket] = {}
        for source in (0, self._ended, self._listening):
            self._looking.register(source, selectors.EVENT_READ)

    def serve(self) -> list[str] | None:
        while True:
            for key, _ in self._looking.select():
                if key.fileobj == 0:
                    for process in self._lines:
                        os.kill(process, signal.SIGKILL)
                    return None
                if key.fileobj == self._ended:
                    self._tell()
                elif key.fileobj is self._listening:
                    words = self._answer(self._listening.accept()[0])
                    if words is not None:
                        return words
                elif key.data in self._lines:  # whoever asked is no more
                    os.kill(key.data, signal.SIGKILL)
                    self._looking.unregister(key.fileobj)

    def _tell(self) -> None:
        """Tell whoever asked how the processes have ended that have."""
        with suppress(BlockingIOError):
            os.read(self._ended, 4096)
        with suppress(ChildProcessError):
            while (found := os.waitpid(-1, os.WNOHANG))[0]:
                line = self._lines.pop(found[0])
                with suppress(OSError):
                    line.send(str(os.waitstatus_to_exitcode(found[1])).encode())
                with suppress(KeyError):
                    self._looking.unregister(line)
                line.close()

    def _answer(self, line: socket.socket) -> list[str] | None:
        """Fork, if this can be done as asked; in the new process return what is to be run."""
        length, streams, *_ = socket.recv_fds(line, 8, 3)
        asked = b""
        while len(asked) < int.from_bytes(length, "big") and (more := line.recv(1 << 16)):
            asked += more
        try:
            words, folder, environment, ignored = marshal.loads(asked)
        except EOFError:
            process = 0
        else:
            known = words and (words[0] in (b"-m", b"-c") or not words[0].startswith(b"-"))
            same = _read_by_python(environment) == self._read_by_python
            process = os.fork() if known and same else 0
            if known and same and not process:
                self._leave()
                line.close()
                _become(streams, folder, environment, ignored)
                return [os.fsdecode(word) for word in words]
        for number in streams:
            os.close(number)
        with suppress(OSError):
            line.send(str(process).encode())
        if process:
            self._lines[process] = line
            self._looking.register(line, selectors.EVENT_READ, process)
        else:
            line.close()
        return None

    def _leave(self) -> None:
        """Have nothing more of the starter, in a process forked."""
        signal.set_wakeup_fd(-1)
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        self._looking.close()
        self._listening.close()
        os.close(self._ended)
        os.close(self._told)
        for line in self._lines.values():
            line.close()


def _read_by_python(environment: dict[bytes, bytes]) -> dict[bytes, bytes]:
    """Return the part that an interpreter reads when it starts."""
    path = environment.get(b"PYTHONPATH", b"")
    known = {b"PYTHONUNBUFFERED": environment.get(b"PYTHONUNBUFFERED")}
    if set(path.split(os.fsencode(os.pathsep))) == {os.fsencode(ROOT)}:  # where modules are found without it
        known[b"PYTHONPATH"] = path
    return {
        name: value
        for name, value in environment.items()
        if name.startswith((b"PYTHON", b"LC_", b"LANG")) and value and known.get(name) != value
    }


def _become(streams: list[int], folder: bytes, environment: dict[bytes, bytes], ignored: list[int]) -> None:
    """Be in the place of whoever asked."""
    os.setsid()
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for number in ignored:
        signal.signal(number, signal.SIG_IGN)
    for number, stream in enumerate(streams):
        os.dup2(stream, number)
        os.close(stream)
    os.chdir(folder)
    os.environb.clear()
    os.environb.update(environment)
    plain = bool(environment.get(b"PYTHONUNBUFFERED"))
    for number, (name, mode) in enumerate([("stdin", "rb"), ("stdout", "wb"), ("stderr", "wb")]):
        before: TextIOWrapper = getattr(sys, name)
        opened: Any = open(number, mode, buffering=0 if plain and number else -1, closefd=False)  # noqa: SIM115
        getattr(opened, "raw", opened).name = f"<{name}>"
        made = TextIOWrapper(
            opened,
            before.encoding,
            before.errors,
            newline="\n",
            line_buffering=not plain and (number == 2 or opened.isatty()),
            write_through=plain,
        )
        made.mode = mode[0]  # type: ignore[misc]
        setattr(sys, name, made)
        setattr(sys, f"__{name}__", made)


def _imports() -> None:
    """Import what sessions and commands import, and nothing that begins a thread."""
    import matebot

    sys.modules[_SLOW] = None  # type: ignore[assignment]
    for name in (*_IMPORTED, *(found.name for found in walk_packages(matebot.__path__, "matebot."))):
        if name != _NOT_IMPORTED:
            try:
                import_module(name)
            except ModuleNotFoundError as fault:
                if fault.name != _SLOW:
                    raise
    del sys.modules[_SLOW]
    assert len(os.listdir("/proc/self/task")) == 1  # noqa: PTH208


def _run(words: list[str]) -> None:
    """Run a module, code or a script, as the interpreter does."""
    first, *rest = words
    if first == "-m":
        sys.path[0], sys.argv = str(Path.cwd()), rest
        runpy.run_module(rest[0], run_name="__main__", alter_sys=True)
    elif first == "-c":
        sys.path[0], sys.argv = "", ["-c", *rest[1:]]
        sys.modules["__main__"] = module = ModuleType("__main__")
        exec(compile(rest[0], "<string>", "exec"), module.__dict__)
    else:
        sys.path[0], sys.argv = str(Path(first).parent), words
        runpy.run_path(first, run_name="__main__")


def _end(status: int) -> None:
    """End as the interpreter does, but do not take apart what has been imported: that took most of a process's time.

    Where something cannot be written any more this is left to the interpreter.
    """
    threading._shutdown()  # type: ignore[attr-defined]
    atexit._run_exitfuncs()
    with suppress(Exception):
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def _run_to_the_end(words: list[str]) -> None:
    try:
        _run(words)
    except SystemExit as end:
        if not isinstance(end.code, int | None):
            raise
        _end(end.code or 0)
    else:
        _end(0)


if __name__ == "__main__":
    _imports()
    gc.freeze()
    starter = Starter(sys.argv[1])
    print("ready", flush=True)
    asked_to_run = starter.serve()
    if asked_to_run is not None:
        del starter
        _run_to_the_end(asked_to_run)
