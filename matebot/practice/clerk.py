"""The process that keeps the games of a session; `watch` starts it and feeds it through a pipe.

It is told bare facts, one message a line, and does all the rest: it makes games of them, writes them, and at last
judges them. So nothing of that can take the interpreter, the disk or the memory of the answers. The end of its input,
however that comes about, is the end of the session: what it was told is written even where the session was killed.
Only then are moves judged, so that the memory for it is never taken beside the session's.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Any

import chess

from matebot.practice.completing import complete, judge_of
from matebot.practice.following import Answered, Follower, GameBegins, Placed
from matebot.practice.keeping import GameKeeper
from matebot.practice.notebook import Notebook
from matebot.practice.record import NoRecord, Record, record_place

#: The session must have been quiet for so long before a game is written; where it never is, so much may pass.
_QUIET_SECONDS, _MOST_SECONDS = 0.1, 5.0
#: Steps by which the process stands back behind others, and by which it does so once more when it judges.
_NICE, _NICER = 10, 9
#: Moves kept behind a position: more than the fifty-move rule needs.
_REMEMBERED_PLIES = 400


class Clerk:
    """Keeps games by what it is told.

    Parameters
    ----------
    tell : takes a line about what went wrong
    place : the file of the record, None for the usual one
    """

    def __init__(self, tell: Callable[[str], None], place: Path | None = None) -> None:
        self._tell, self._place = tell, place
        self._pupil = ""
        self._follower: Follower | None = None
        self._keeper: GameKeeper | None = None
        self._board: tuple[str | None, list[str], chess.Board] | None = None
        self._written: tuple[object, ...] | None = None
        self._tables: Path | None = None
        self._judges = False

    def take(self, message: list[Any]) -> None:
        """Take one message: its kind and what belongs to it, as `watch` sends it."""
        kind, *details = message
        if kind == "pupil":
            self._serve(*details)
        elif kind == "end":
            self._judges, self._tables = True, None if details[0] is None else Path(details[0])
        elif self._follower is not None:
            if kind == "position":
                at, fen, moves = details
                self._follower.take(Placed(self._read(fen, moves), at))
            elif kind == "answer":
                self._follower.take(Answered(*details))
            else:
                self._follower.take(GameBegins())

    def _serve(self, pupil: str) -> None:
        """Finish the games of the pupil so far, and turn to another one, or to nobody."""
        self.end()
        self._pupil, self._keeper = pupil, None
        self._follower = Follower(pupil) if pupil else None

    def _read(self, fen: str | None, moves: list[str]) -> chess.Board:
        """Return a position with the moves that led to it; the session has found it legal."""
        board, rest = chess.Board() if fen is None else None, moves
        if self._board is not None and self._board[0] == fen and moves[: len(self._board[1])] == self._board[1]:
            board, rest = self._board[2].copy(), moves[len(self._board[1]) :]
        elif fen is not None:
            board = chess.Board(fen)
        assert board is not None
        for move in rest:
            board.push_uci(move)
        board = board.copy(stack=_REMEMBERED_PLIES)
        self._board = fen, moves, board
        return board

    def write(self) -> None:
        """Write every game in which there is something new."""
        if self._follower is None:
            return
        for notebook in self._follower.closed:
            self._keep(notebook)
        self._follower.closed.clear()
        present = self._follower.notebook
        if present is not None and (present.key, *present.state()) != self._written:
            self._written = present.key, *present.state()
            self._keep(present)

    def _keep(self, notebook: Notebook) -> None:
        if not notebook.has_moves:
            return
        if self._keeper is None:
            self._keeper = GameKeeper(self._pupil, self._place, self._tell)
        self._keeper.keep(notebook)

    def end(self) -> None:
        """Close the game in progress, write it, and let go of the record."""
        if self._follower is not None:
            self._follower.end_game()
            self.write()
        if self._keeper is not None:
            self._keeper.close()

    def judge(self) -> None:
        """Judge what has not been judged, if the session ended by itself; otherwise whoever reads it next does."""
        if not self._judges or self._keeper is None:
            return
        with suppress(NoRecord):
            record = Record(record_place(self._place), self._tell, create=False)
            complete(record, lambda: judge_of(self._tables))
            record.close()


def serve(clerk: Clerk, lines: SimpleQueue[bytes | None], clock: Callable[[], float] = time.monotonic) -> None:
    """Take one line after the other, and write whenever none comes for a moment; None is the end."""
    written = clock()
    quiet = True
    while True:
        try:
            line = lines.get(timeout=None if quiet else _QUIET_SECONDS)
        except Empty:
            clerk.write()
            quiet, written = True, clock()
            continue
        if line is None:
            break
        if quiet:
            quiet, written = False, clock()
        clerk.take(json.loads(line))
        if clock() - written >= _MOST_SECONDS:
            clerk.write()
            written = clock()
    clerk.end()


def read_lines(stream: Iterable[bytes], lines: SimpleQueue[bytes | None]) -> None:
    """Put whole lines into a queue as they come, and None at the end."""
    for line in stream:
        if line.endswith(b"\n"):  # otherwise the session was killed in the middle of it
            lines.put(line)
    lines.put(None)


def _stand_back(steps: int) -> None:
    with suppress(AttributeError, OSError):  # not on every platform, where `watch` sees to it
        os.nice(steps)


def _tell(text: str) -> None:
    with suppress(OSError):  # nobody may listen any more
        os.write(1, text.encode("utf-8", "replace") + b"\n")


def main() -> None:
    """Keep games until the input ends."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)  # the end of the session is awaited, and not long
    _stand_back(_NICE)
    lines: SimpleQueue[bytes | None] = SimpleQueue()
    threading.Thread(target=read_lines, args=(sys.stdin.buffer, lines), daemon=True).start()
    clerk = Clerk(_tell)
    try:
        serve(clerk, lines)
    except Exception as fault:
        _tell(f"internal fault, nothing more is kept: {fault!r}")
    os.close(1)  # by this the session knows that all is written
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    _stand_back(_NICER)
    clerk.judge()
