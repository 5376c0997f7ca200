"""Cuts a PGN file into the texts of its games, one at a time; joined again they are the file, byte for byte.

A game ends at a blank line after its moves, as python-chess reads it, and where the tags of the next one begin.
Never looks at moves.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

#: Bytes that are no UTF-8 pass through unchanged.
ENCODING, ERRORS = "utf-8", "surrogateescape"
_TAG = re.compile(r"\[\s*[A-Za-z0-9_]+\s*\"")
_COMMENT_MARK = re.compile(r"[{};]")


def game_texts(lines: Iterable[bytes]) -> Iterator[str]:
    """Yield the text of each game, with the blank lines that follow it.

    Parameters
    ----------
    lines : the lines of a PGN file, line ends included
    """
    cut = _Cut()
    for number, raw in enumerate(piece for line in lines for piece in _apart(line)):
        line = raw.decode(ENCODING, ERRORS)
        if cut.begins_game(line.removeprefix("\ufeff") if number == 0 else line):
            yield "".join(cut.lines)
            cut = _Cut()
            cut.begins_game(line)
        cut.lines.append(line)
    if cut.lines:
        yield "".join(cut.lines)


def _apart(line: bytes) -> list[bytes]:
    """Cut up what was read as one line where carriage returns alone end its lines."""
    if b"\r" not in line:
        return [line]
    body = line.rstrip(b"\r\n") if line.endswith(b"\n") else line
    pieces = body.splitlines(keepends=True) or [b""]
    pieces[-1] += line[len(body) :]
    return pieces


class _Cut:
    """One game while its lines come in."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._tagged = self._moved = self._blank = self._in_comment = False

    def begins_game(self, line: str) -> bool:
        """Take in a line and tell whether it belongs to the next game."""
        if not line.strip():
            self._blank = True
            return False
        blank, self._blank = self._blank, False
        tag = _TAG.match(line) is not None
        if self._in_comment:
            # Tags after a blank line: the comment was never closed.
            if blank and tag:
                return True
        elif tag:
            if self._moved or (self._tagged and blank):
                return True
            self._tagged = True
            return False
        elif self._moved and blank:
            return True
        if self._in_comment or not line.startswith(("%", ";")):
            self._moved = True
            self._in_comment = _open_at_end(line, self._in_comment)
        return False


def _open_at_end(line: str, in_comment: bool) -> bool:
    """Whether a comment in braces is open at the end of a line."""
    for mark in _COMMENT_MARK.findall(line):
        if in_comment:
            in_comment = mark != "}"
        elif mark == ";":
            return False
        else:
            in_comment = mark == "{"
    return in_comment
