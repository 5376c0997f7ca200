"""Where the pupil's lines come from: a terminal, with completion where it can, or any other input, line by line."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from io import TextIOWrapper
from threading import Thread

import chess

from matebot.practice.moves_typed import completions
from matebot.wakeful import until_readable


def reader(words: list[str]) -> Callable[[chess.Board], str | None]:
    """Return a way to read lines from standard input; None at its end.

    Parameters
    ----------
    words : what may be typed besides moves
    """
    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")
    if sys.stdin is not None and sys.stdin.isatty():
        return _Terminal(words).read
    return _line


def _line(board: chess.Board) -> str | None:
    line = "" if sys.stdin is None else sys.stdin.readline()
    return line or None


class _Terminal:
    def __init__(self, words: list[str]) -> None:
        self._words = words
        self._found: list[str] = []
        self._board = chess.Board()
        with suppress(ImportError):  # not on every platform
            import readline

            readline.set_completer(self._complete)
            readline.set_completer_delims(" ")
            readline.parse_and_bind("tab: complete")

    def read(self, board: chess.Board) -> str | None:
        self._board = board
        if sys.platform == "win32":
            return _typed()
        return _typed_beside()

    def _complete(self, begun: str, number: int) -> str | None:
        """Return one completion after another, as the terminal asks for them."""
        if number == 0:
            self._found = completions(self._board, self._words, begun)
        return self._found[number] if number < len(self._found) else None


def _typed() -> str | None:
    try:
        return input("> ")
    except EOFError:
        print()
        return None


def _typed_beside() -> str | None:
    """Let the line be typed on a thread of its own: the line editor may sleep through an interruption, this does not.

    What is interrupted leaves the terminal as it was; the editor is left waiting, for the end of the program.
    """
    import termios

    reading, writing = os.pipe()
    typed: list[str | BaseException | None] = []

    def edit() -> None:
        try:
            typed.append(_typed())
        except BaseException as fault:  # it belongs to the thread that waits
            typed.append(fault)
        os.close(writing)

    before = termios.tcgetattr(sys.stdin)
    Thread(target=edit, daemon=True).start()
    try:
        until_readable(reading)
    except KeyboardInterrupt:
        termios.tcsetattr(sys.stdin, termios.TCSADRAIN, before)
        raise
    finally:
        os.close(reading)
    (line,) = typed
    if isinstance(line, BaseException):
        raise line
    return line
