"""Weaves remarks into the text of a game as comments, glyphs and variations of the PGN standard.

Only adds: what stood in the text stands there afterwards, byte for byte, but for blanks where a line is broken.
What has been added before is not added again, and a good move of which a comment that begins with its name tells
already gets no second one.
"""

from __future__ import annotations

import textwrap

import chess

from matebot.games.movetext import Reading, Written
from matebot.games.review import Remark

_WIDTH = 79


def woven(text: str, reading: Reading, remarks: dict[int, Remark]) -> str:
    """Return the text of a game with remarks, which are given by the number of moves before them."""
    assert reading.start is not None
    newline = "\r\n" if "\r\n" in text else "\r" if "\r" in text and "\n" not in text else "\n"
    page = _Page(text, newline)
    board = reading.start.copy(stack=False)
    if 0 in remarks:
        _before(page, reading, remarks[0])
    for number, written in enumerate(reading.written, start=1):
        if number in remarks:
            _behind(page, board, written, remarks[number])
        board.push(written.move)
    return page.finished()


class _Page:
    """A text with lines added in the order of their places."""

    def __init__(self, text: str, newline: str) -> None:
        self._text = text
        self._newline = newline
        self._parts: list[str] = []
        self._done = 0

    def add(self, place: int, added: str) -> None:
        """Add something on the same line."""
        self._copy(place)
        self._parts.append(added)

    def add_lines(self, place: int, lines: list[str], closed: bool) -> None:
        """Add lines of their own; `closed` begins a new line behind them, unless the text itself does."""
        self._copy(place)
        end = self._parts[-1][-1:] if self._parts else ""
        begin = "" if end in ("", "\r", "\n") else self._newline
        self._parts.append(begin + self._newline.join(lines))
        if closed:
            while self._text[self._done : self._done + 1] in (" ", "\t"):
                self._done += 1
            if self._text[self._done : self._done + 1] not in ("", "\r", "\n"):
                self._parts.append(self._newline)

    def finished(self) -> str:
        """Return the whole text."""
        self._copy(len(self._text))
        return "".join(self._parts)

    def _copy(self, place: int) -> None:
        if place > self._done:
            self._parts.append(self._text[self._done : place])
            self._done = place


def _before(page: _Page, reading: Reading, remark: Remark) -> None:
    comment = " ".join(_not_standing(remark.sentences, reading.before))
    if comment:
        page.add_lines(reading.opening, _comment(comment), closed=True)


def _behind(page: _Page, board: chess.Board, written: Written, remark: Remark) -> None:
    sentences = _not_standing(remark.sentences, written.comments)
    if remark.nag is None and _is_told(board.san(written.move), written.comments):
        sentences = [text for text in sentences if text != remark.sentences[0]]
    comment = " ".join(sentences)
    if remark.nag is not None and remark.nag not in written.nags:
        page.add(written.end, f" ${remark.nag}")
    lines = _comment(comment) if comment else []
    plain = [san.rstrip("+#") for san in remark.better]
    variation = _variation(board, remark.better) if remark.better and plain not in written.variations else []
    if lines:
        page.add_lines(written.behind, lines, closed=not variation and not written.bare)
    if variation:
        page.add_lines(written.close, variation, closed=not written.bare)
    if (lines or variation) and written.bare:
        page.add_lines(written.close, [_next_number(board)], closed=False)


def _is_told(name: str, comments: list[str]) -> bool:
    """Whether a comment begins with the name of the move."""
    return any(comment.split()[:1] == [name] for comment in comments)


def _not_standing(sentences: list[str], comments: list[str]) -> list[str]:
    """Return the sentences that do not stand in the comments."""
    there = [" ".join(comment.split()) for comment in comments]
    return [text for text in sentences if not any(" ".join(text.split()) in comment for comment in there)]


def _comment(text: str) -> list[str]:
    return textwrap.wrap(f"{{{text}}}", _WIDTH, break_long_words=False, break_on_hyphens=False)


def _variation(board: chess.Board, names: list[str]) -> list[str]:
    words, number, turn = [], board.fullmove_number, board.turn
    for index, name in enumerate(names):
        if turn or index == 0:
            words.append(f"{number}{'.' if turn else '...'}")
        words.append(name)
        number, turn = number + (not turn), not turn
    return textwrap.wrap(f"({' '.join(words)})", _WIDTH, break_long_words=False, break_on_hyphens=False)


def _next_number(board: chess.Board) -> str:
    """Return the number of the move after the next: ``41...`` when White is to make the next one."""
    return f"{board.fullmove_number}..." if board.turn else f"{board.fullmove_number + 1}."
