"""A demonstration on a terminal: moves, what is said of them, a board where a stage begins, the sum at the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, zip_longest
from textwrap import wrap

import chess

from matebot.games.demonstrate import DemonstratedMove, Opening, titled
from matebot.games.diagram import BOARD_WIDTH, beside, board_text
from matebot.games.summary import Slips, Summary, in_order
from matebot.wording import games as words
from matebot.wording.lesson import practise_command
from matebot.wording.moves import distance

_WIDTH, _INDENT = 78, 8
_GAP, _NARROWEST = "  ", 12
_BOARD_EVERY_PLIES = 10


class Showing:
    """Shows one demonstration; a board is shown where a stage begins and where none has been shown for ten plies.

    Parameters
    ----------
    below : the side at the bottom
    """

    def __init__(self, below: chess.Color = chess.WHITE) -> None:
        self._below = below
        self._plies = 0

    def start(self, board: chess.Board, opening: Opening) -> Iterator[str]:
        """Yield the lines before the first move."""
        yield board.fen()
        yield opening.outcome
        yield ""
        yield from self._board(board, opening.title, opening.change)
        yield ""

    def move(self, step: DemonstratedMove) -> Iterator[str]:
        """Yield the lines of a move."""
        self._plies += 1
        dots = "." if step.board.turn else "..."
        how_far = "mate" if step.facts.gives.mate else distance(step.facts)
        yield f"{step.board.fullmove_number:>4}{dots:<4}{step.facts.san:<8}{how_far}"
        yield from wrap(step.said, _WIDTH, initial_indent=" " * _INDENT, subsequent_indent=" " * _INDENT)
        if step.stage is not None and step.change:
            yield ""
            yield from self._board(step.after, titled(step.stage), step.change)
            yield ""
        elif self._plies >= _BOARD_EVERY_PLIES and not step.facts.gives.mate:
            yield ""
            yield from self._board(step.after, "", ())
            yield ""

    def end(self, board: chess.Board, outcome: str, summed: Summary) -> Iterator[str]:
        """Yield the lines after the last move."""
        if summed.stages:
            yield ""
            yield board_text(board, self._below)
            yield ""
        yield outcome
        if summed.stages:
            yield ""
            yield from summary_lines(summed)

    def _board(self, board: chess.Board, title: str, said: Sequence[str]) -> list[str]:
        """Return a board with a heading and what is said beside it; no heading beside a single sentence."""
        self._plies = 0
        text = [line for part in said for line in wrap(part, _WIDTH - BOARD_WIDTH - 2)]
        return beside(board_text(board, self._below), [title, "", *text] if len(said) > 1 else text)


def summary_lines(summed: Summary) -> list[str]:
    """Return the sum of a game: a table of stages beside the method, the slips, what to practise."""
    lines = [words.SUMMARY, *table(summary_rows(summed), texts=(0,)), "", *slip_lines(summed.slips)]
    return [*lines, *practise_lines(summed)]


def summary_rows(summed: Summary) -> list[tuple[str, ...]]:
    """Return the table of stages, its heading first, the whole game last."""
    rows = [words.SUMMARY_HEAD]
    rows += [(words.stage_name(s.ending, s.title), str(s.moves), words.most(s.most)) for s in summed.stages]
    return [*rows, (words.IN_ALL, str(summed.moves), words.most(summed.most))]


def slip_lines(slips: Slips) -> list[str]:
    """Return the slips by kind, a line for each side."""
    if not slips:
        return [words.NO_SLIPS]
    by_side = groupby(in_order(slips), key=lambda item: item[0][0])
    return [words.slips(side, [(kind.value, times) for (_, kind), times in found]) for side, found in by_side]


def practise_lines(summed: Summary) -> list[str]:
    """Return what to practise and the command for it."""
    hardest = summed.hardest
    if hardest is None:
        return []
    command = practise_command(hardest.ending, hardest.stage or None, "attack")
    return words.practise(command, hardest.title, words.MOST_LOST if hardest.lost else words.LONGEST)


def table(rows: Sequence[Sequence[str]], texts: tuple[int, ...], most: int | None = None) -> list[str]:
    """Return rows as lines with columns under each other; columns not in `texts` are set to the right.

    Parameters
    ----------
    most : characters of a line at most; the widest columns of text are broken into lines, down to `_NARROWEST`
    """
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    while most is not None and sum(widths) + len(_GAP) * (len(widths) - 1) > most:
        widest = max(texts, key=lambda column: widths[column])
        if widths[widest] <= _NARROWEST:
            break
        widths[widest] -= 1
    lines = []
    for row in rows:
        cells = [wrap(cell, width) or [""] if width else [cell] for cell, width in zip(row, widths, strict=True)]
        for parts in zip_longest(*cells, fillvalue=""):
            placed = [
                part.ljust(width) if column in texts else part.rjust(width)
                for column, (part, width) in enumerate(zip(parts, widths, strict=True))
            ]
            lines.append(_GAP.join(placed).rstrip())
    return lines
