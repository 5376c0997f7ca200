"""The real program in a process of its own, driven line by line, with every output line held against a grammar."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path
from queue import Queue
from threading import Thread
from types import TracebackType

from matebot.uci.options import OPTIONS
from tests.warm_processes import warm_python

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
#: Nothing takes so long but what hangs.
PATIENCE = 60.0
#: The program, after some code.
PROGRAM = "{}\nimport sys\nfrom matebot.cli import main\nsys.exit(main(sys.argv[1:]))"
#: Solving that says so on the error stream and never comes to its end, for a machine that is far too slow.
ENDLESS = """
import os, threading
import matebot.solver.retrograde
def solve(self):
    os.write(2, b"solving\\n")
    threading.Event().wait()
matebot.solver.retrograde.Solver.solve = solve
"""
#: A session that waits for itself, however busy the machine and its disk.
PATIENT = f"""
import matebot.solver.keeping
from matebot.uci import pace, stdio
pace._TIMED_PATIENCE_SECONDS = pace._PATIENCE_SECONDS = {PATIENCE}
stdio._HURRY_SECONDS = stdio._KEEPING_SECONDS = stdio._LEAVING_SECONDS = {PATIENCE}
matebot.solver.keeping._WRITING_SECONDS = {PATIENCE}
"""
#: Option values as they are at the start.
AS_AT_THE_START = [
    f"setoption name {option.name} value {str(option.default).lower()}"
    for option in OPTIONS
    if option.kind in ("check", "combo", "spin") and option.name != "Profile"
]


class Engine:
    """One session with the program.

    Parameters
    ----------
    folder : where solved endings are kept; None for the folder that all tests share
    code : what the process runs before the program
    python : the interpreter; None for one that has everything imported
    """

    def __init__(self, folder: Path | None, *arguments: str, code: str = "", python: str | None = None) -> None:
        environment = os.environ if folder is None else {**os.environ, "MATEBOT_TABLES": str(folder)}
        self.process = subprocess.Popen(
            [python or warm_python(), *(["-c", PROGRAM.format(code)] if code else ["-m", "matebot"]), *arguments],
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

    def line(self) -> str | None:
        """Return the next line, which must be UCI; None at the end of output."""
        line = self._lines.get(timeout=PATIENCE)
        assert line is None or GRAMMAR.fullmatch(line), line
        return line

    def until(self, beginning: str) -> list[str]:
        """Return all lines up to the first that begins so."""
        found: list[str] = []
        while not found or not found[-1].startswith(beginning):
            line = self.line()
            assert line is not None, f"output ended before {beginning!r}: {found}"
            found.append(line)
        return found

    def ask(self, *lines: str) -> list[str]:
        """Send lines that end in a ``go`` and return everything up to ``bestmove``."""
        self.send(*lines)
        return self.until("bestmove")

    def ready(self) -> list[str]:
        self.send("isready")
        return self.until("readyok")

    def settle(self) -> None:
        """Make it as it was at its start, whatever has been asked of it, and leave nothing of what it said."""
        self.send("stop", *AS_AT_THE_START, "ucinewgame", "setoption")
        self.until("info string expected one of the options")
        self.ready()

    def close_input(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.close()

    def leaves(self) -> int:
        return self.process.wait(PATIENCE)
