"""The real program in a process of its own, driven line by line, with every output line held against a grammar."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from types import TracebackType

_MOVE = r"(?:[a-h][1-8][a-h][1-8][qrbn]?)"
GRAMMAR = re.compile(
    rf"""id\ (?:name|author)\ .+
    | option\ name\ .+\ type\ (?:check|spin|combo|button|string).*
    | uciok | readyok
    | info\ string\ \S.*
    | info\ depth\ \d+(?:\ seldepth\ \d+)?(?:\ multipv\ \d+)?\ score\ (?:cp|mate)\ -?\d+(?:\ (?:lower|upper)bound)?
      \ time\ \d+\ nodes\ \d+\ tbhits\ \d+(?:\ pv(?:\ {_MOVE})+)?
    | bestmove\ (?:0000|{_MOVE})(?:\ ponder\ {_MOVE})?""",
    re.VERBOSE,
)
PATIENCE = 30.0


class Engine:
    """One session with the program; tables are kept in a folder of the tests."""

    def __init__(self, folder: Path, *arguments: str) -> None:
        environment = {**os.environ, "MATEBOT_TABLES": str(folder)}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "matebot", *arguments],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environment,
        )
        self._lines: Queue[str | None] = Queue()
        Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        assert self.process.stdout is not None
        for raw in self.process.stdout:
            self._lines.put(raw.decode().rstrip("\n"))
        self._lines.put(None)

    def __enter__(self) -> Engine:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.process.kill()
        self.process.wait()
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            if stream is not None:
                try:
                    stream.close()
                except BrokenPipeError:
                    continue

    def send(self, *lines: str) -> None:
        self.send_bytes(b"".join(line.encode() + b"\n" for line in lines))

    def send_bytes(self, data: bytes) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(data)
        self.process.stdin.flush()

    def line(self, patience: float = PATIENCE) -> str | None:
        """Return the next line, which must be UCI; None at the end of output."""
        line = self._lines.get(timeout=patience)
        assert line is None or GRAMMAR.fullmatch(line), line
        return line

    def until(self, beginning: str, patience: float = PATIENCE) -> list[str]:
        """Return all lines up to the first that begins so."""
        found: list[str] = []
        end = time.monotonic() + patience
        while not found or not found[-1].startswith(beginning):
            line = self.line(max(0.01, end - time.monotonic()))
            assert line is not None, f"output ended before {beginning!r}: {found}"
            found.append(line)
        return found

    def quiet(self, seconds: float) -> bool:
        """Whether nothing is said for a while."""
        try:
            self._lines.get(timeout=seconds)
        except Empty:
            return True
        return False

    def ask(self, *lines: str) -> list[str]:
        """Send lines that end in a ``go`` and return everything up to ``bestmove``."""
        self.send(*lines)
        return self.until("bestmove")

    def ready(self) -> list[str]:
        self.send("isready")
        return self.until("readyok")

    def leaves(self, patience: float = 5.0) -> int:
        return self.process.wait(patience)
