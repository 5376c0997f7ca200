"""Reads the text of one PGN game: its moves, where each stands in the text, and what cannot be read.

Variations are followed too, so that a wrong move is found wherever it stands. Never changes anything; see `weave`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import ClassVar

import chess
import chess.pgn

#: The tokens of movetext; what fits none of them is `other`.
_TOKEN = re.compile(
    r"""
    (?P<comment>\{[^}]*(?P<closed>\})?)
    |(?P<escape>(?<![^\r\n])%[^\r\n]*|;[^\r\n]*)
    |(?P<nag>\$[0-9]{1,3}(?![0-9]))
    |(?P<open>\()
    |(?P<close>\))
    |(?P<result>\*|1-0|0-1(?!-)|1/2-1/2)
    |(?P<move>P?(?P<san>[NBKRQ]?[a-h]?[1-8]?[-x]?[a-h][1-8](?:=?[nbrqkNBRQK])?[+\#]*
        |O-O(?:-O)?[+\#]*|0-0(?:-0)?[+\#]*|--|Z0|0000|@@@@))
    |(?P<number>[0-9]+\.*|\.+)
    |(?P<mark>[!?]{1,2})
    |(?P<other>[^\s{}();$]+|\$[0-9]*|\})
    """,
    re.VERBOSE,
)
_TAG_LINE = re.compile(r"\ufeff?\[\s*([A-Za-z0-9_]+)\s*\"(.*)\"\s*\]\s*$")
#: A line with its end; to other characters that may end lines the standard gives no such meaning.
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_MARKS = {"!": 1, "?": 2, "!!": 3, "??": 4, "!?": 5, "?!": 6}
#: The tags that tell the position and the kind of chess.
_SETTING = ("FEN", "Variant")
#: Remarks of old notation that are no moves and no mistake.
_HARMLESS = re.compile(r"e\.?p\.?|[+=#/-]+|N|\+/?[-=]|[-=]/?\+", re.ASCII)


@dataclass(slots=True)
class Written:
    """A move of the main line and what is written to it; places are indices into the text.

    Attributes
    ----------
    end : behind the move and its marks
    behind : behind its comments too, where a comment would join them
    close : behind everything up to the next move of the main line, where a variation would join the others
    bare : whether the next move stands without a number
    nags : numeric annotation glyphs, marks such as ``!?`` among them
    comments, variations : the comments, and the words of each variation
    """

    move: chess.Move
    end: int
    behind: int
    close: int
    bare: bool = False
    nags: set[int] = field(default_factory=set)
    comments: list[str] = field(default_factory=list)
    variations: list[list[str]] = field(default_factory=list)


@dataclass(slots=True)
class Reading:
    """A game as far as it could be read.

    Attributes
    ----------
    start : the position it begins with, None where it cannot be set up or belongs to another kind of chess
    opening : the place of the first move
    before : the comments in front of it
    faults : what could not be read
    """

    tags: dict[str, str]
    start: chess.Board | None
    opening: int
    before: list[str] = field(default_factory=list)
    written: list[Written] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        """The players, and the event where it is known."""
        white, black = self.tags.get("White", "?"), self.tags.get("Black", "?")
        event = self.tags.get("Event", "?")
        return f"{white} - {black}" + ("" if event == "?" else f", {event}")


def read_game(text: str) -> Reading:
    """Read the text of one game."""
    tags, begin = _tags(text)
    reading = Reading(tags, None, len(text))
    try:
        board = chess.pgn.Headers([(name, tags[name]) for name in _SETTING if name in tags]).board()
    except ValueError as fault:
        reading.faults.append(f"expected a position that can be set up ({fault}), got {tags.get('FEN', '')!r}")
        return reading
    if type(board) is chess.Board:
        reading.start = board
        _Reader(text, reading).read(begin)
    return reading


def _tags(text: str) -> tuple[dict[str, str], int]:
    """Return the tags and where the moves may begin."""
    tags: dict[str, str] = {}
    place = 0
    for line in _LINE.findall(text):
        bare = line.lstrip("\ufeff")
        if found := _TAG_LINE.match(line):
            tags[found[1]] = found[2].replace('\\"', '"').replace("\\\\", "\\")
        elif bare.strip() and not bare.startswith(("[", "%", ";")):
            break
        place += len(line)
    return tags, place


@dataclass(slots=True)
class _Line:
    """The main line or a variation while it is read; `broken` when a move in it could not be."""

    board: chess.Board
    broken: bool = False


class _Reader:
    def __init__(self, text: str, reading: Reading) -> None:
        assert reading.start is not None
        self._text = text
        self._reading = reading
        self._lines = [_Line(reading.start.copy())]
        self._numbered = False

    def read(self, begin: int) -> None:
        """Read the movetext from a place on."""
        for found in _TOKEN.finditer(self._text, begin):
            self._READERS[found.lastgroup or ""](self, found)
        if len(self._lines) > 1 and not self._lines[0].broken:
            self._fault("expected every variation to be closed, got '('")

    @property
    def _last(self) -> Written | None:
        """The last move of the main line, if everything before it could be read."""
        return self._reading.written[-1] if self._reading.written and not self._lines[0].broken else None

    def _fault(self, text: str) -> None:
        board = self._lines[-1].board
        dots = "." if board.turn else "..."
        self._reading.faults.append(f"at move {board.fullmove_number}{dots} {text}")

    def _comment(self, found: re.Match[str]) -> None:
        if not found["closed"]:
            self._fault(f"expected a comment to be closed, got {found[0][:40]!r}")
            self._lines[0].broken = True
        elif len(self._lines) == 1:
            self._beside(found[0][1:-1], found.end())

    def _beside(self, comment: str, end: int) -> None:
        if self._last is None:
            if not self._reading.written:
                self._reading.before.append(comment)
            return
        self._last.comments.append(comment)
        self._last.close = end
        if not self._last.variations:
            self._last.behind = end

    def _escape(self, found: re.Match[str]) -> None:
        if found[0].startswith(";") and len(self._lines) == 1:
            self._beside(found[0][1:], found.end())

    def _nag(self, found: re.Match[str]) -> None:
        self._glyph(int(found[0][1:]), found.end())

    def _mark(self, found: re.Match[str]) -> None:
        self._glyph(_MARKS[found[0]], found.end())

    def _glyph(self, number: int, end: int) -> None:
        last = self._last
        if last is not None and len(self._lines) == 1 and not last.variations:
            last.nags.add(number)
            last.close = end
            if last.comments:
                last.behind = end
            else:
                last.end = last.behind = end

    def _open(self, found: re.Match[str]) -> None:
        line = self._lines[-1]
        if len(self._lines) == 1 and self._last is not None:
            self._last.variations.append([])
        before = line.board.copy(stack=1)
        # Without a move to vary, what stands inside is passed over.
        usable = bool(before.move_stack) and not line.broken
        if usable:
            before.pop()
        self._lines.append(_Line(before, broken=not usable))

    def _close(self, found: re.Match[str]) -> None:
        if len(self._lines) == 1:
            self._fault("expected a variation to be opened before it is closed, got ')'")
            return
        self._lines.pop()
        if len(self._lines) == 1 and self._last is not None:
            self._last.close = found.end()

    def _number(self, found: re.Match[str]) -> None:
        if len(self._lines) == 1:
            self._numbered = True
            self._begin(found.start())

    def _begin(self, place: int) -> None:
        if not self._reading.written:
            self._reading.opening = min(self._reading.opening, place)

    def _move(self, found: re.Match[str]) -> None:
        line, san = self._lines[-1], found["san"].rstrip("+#")
        main = len(self._lines) == 1
        if not main and self._last is not None:
            self._last.variations[-1].append(san)
        if line.broken:
            return
        try:
            move = line.board.parse_san(san)
        except ValueError as fault:
            self._fault(f"expected a legal move ({str(fault).split(':')[0]}), got {san!r}")
            line.broken = True
            return
        if main:
            self._main(move, found)
        line.board.push(move)

    def _main(self, move: chess.Move, found: re.Match[str]) -> None:
        self._begin(found.start())
        if self._last is not None:
            self._last.bare = not self._numbered
        self._numbered = False
        self._reading.written.append(Written(move, found.end(), found.end(), found.end()))

    def _other(self, found: re.Match[str]) -> None:
        if self._lines[-1].broken:
            return
        if not _HARMLESS.fullmatch(found[0]):
            self._fault(f"expected a move, got {found[0][:40]!r}")
            return
        last = self._last
        if len(self._lines) > 1 or last is None or last.close != last.end:
            return
        if not self._text[last.end : found.start()].strip():
            last.end = last.behind = last.close = found.end()  # it belongs to the move

    #: What reads each kind of token.
    _READERS: ClassVar[dict[str, Callable[[_Reader, re.Match[str]], None]]] = {
        "comment": _comment,
        "escape": _escape,
        "nag": _nag,
        "mark": _mark,
        "open": _open,
        "close": _close,
        "result": lambda reader, found: None,
        "number": _number,
        "move": _move,
        "other": _other,
    }
