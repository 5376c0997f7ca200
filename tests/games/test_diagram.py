"""Boards as text: letters where nothing else is sure to be shown, figurines and colour on a terminal that has them."""

from __future__ import annotations

import io
import re

import chess
import pytest

from matebot.games.diagram import board_text, can_colour, coloured, diagram


class Terminal(io.StringIO):
    def __init__(self, encoding: str, terminal: bool = True) -> None:
        super().__init__()
        self._encoding, self._terminal = encoding, terminal

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return self._encoding

    def isatty(self) -> bool:
        return self._terminal


@pytest.mark.parametrize(
    ("encoding", "terminal", "environment", "expected"),
    [
        ("utf-8", True, {"TERM": "xterm"}, True),
        ("UTF-8", True, {"TERM": "xterm", "NO_COLOR": ""}, True),
        ("utf-8", False, {"TERM": "xterm"}, False),
        ("latin-1", True, {"TERM": "xterm"}, False),
        ("utf-8", True, {"TERM": "dumb"}, False),
        ("utf-8", True, {}, False),
        ("utf-8", True, {"TERM": "xterm", "NO_COLOR": "1"}, False),
    ],
)
def test_colour_is_used_where_the_terminal_has_it_and_nobody_forbids_it(
    encoding: str, terminal: bool, environment: dict[str, str], expected: bool
) -> None:
    assert can_colour(Terminal(encoding, terminal), environment) is expected
    assert can_colour(None, environment) is False


@pytest.mark.parametrize("below", chess.COLORS)
def test_the_coloured_board_shows_the_same_men_in_the_same_places_as_the_letters(below: chess.Color) -> None:
    # The figurines are those of Unicode, as python-chess gives them.
    board = chess.Board()
    bare = re.sub("\x1b\\[[0-9;]*m", "", coloured(board, below))
    for piece in map(chess.Piece.from_symbol, "KQRBNPkqrbnp"):
        bare = bare.replace(piece.unicode_symbol(), piece.symbol())
    plain = diagram(board, below).replace(".", " ")
    assert [line.rstrip() for line in bare.splitlines()] == [line.rstrip() for line in plain.splitlines()]


@pytest.mark.parametrize(
    ("below", "ranks", "files"), [(chess.WHITE, "87654321", "abcdefgh"), (chess.BLACK, "12345678", "hgfedcba")]
)
def test_files_and_ranks_are_named_as_the_side_below_sees_them(below: chess.Color, ranks: str, files: str) -> None:
    lines = [line.split() for line in diagram(chess.Board(), below).splitlines()]
    assert "".join(line[0] for line in lines[:8]) == ranks
    assert "".join(lines[-1]) == files


def test_h1_is_a_light_square_and_a1_a_dark_one() -> None:
    # FIDE Laws of Chess, article 2.1: the right-hand corner square next to each player is white.
    last = coloured(chess.Board(None)).splitlines()[7]
    grounds = re.findall("\x1b\\[48;5;([0-9]+)m", last)
    assert grounds[0] == "144"
    assert grounds[-1] == "230"


def test_what_is_no_terminal_gets_the_letters(capsys: pytest.CaptureFixture[str]) -> None:
    assert board_text(chess.Board()) == diagram(chess.Board())
